import { describe, expect, it } from 'vitest';
import { explain } from '../../src/errors.js';
import { meaningOf } from '../../src/reading/words.js';
import { read, readOne, refusal, rowsOf, type Said } from './reading.js';

/** The readings that every export below holds, London time in October. */
const STAMPS = ['2025-10-13 00:00', '2025-10-13 00:10', '2025-10-13 00:20', '2025-10-13 00:30'];
const TEMPERATURES = ['20.1', '20.4', '-0.5', '19.8'];
const HUMIDITIES = ['55.5', '54.0', '88.2', '61.7'];
const EXPECTED = [
  ['2025-10-12T23:00', 20.1, 55.5],
  ['2025-10-12T23:10', 20.4, 54],
  ['2025-10-12T23:20', -0.5, 88.2],
  ['2025-10-12T23:30', 19.8, 61.7],
];

type Row = (stamp: string, temperature: string, humidity: string, row: number) => string;

/** An export: heading lines, and each reading as `row` writes it. */
function exported(heading: string, row: Row, footing = ''): string {
  const rows = STAMPS.map((stamp, i) => row(stamp, TEMPERATURES[i]!, HUMIDITIES[i]!, i));
  return `${heading === '' ? '' : `${heading}\n`}${rows.join('\n')}\n${footing}`;
}

const comma = (number: string) => number.replace('.', ',');
const dotted = (stamp: string) => stamp.replace(/^(\d+)-(\d+)-(\d+)/, '$3.$2.$1');
const slashed = (stamp: string) => stamp.replace(/^(\d+)-(\d+)-(\d+)/, '$2/$3/$1');
const fahrenheit = (celsius: string) => (Number(celsius) * 1.8 + 32).toFixed(2);
const utc = (stamp: string) => new Date(Date.parse(`${stamp.replace(' ', 'T')}:00+01:00`)).toISOString();
const german = exported(
  'Datum;Temperatur [°C];Luftfeuchte [%]',
  (s, t, h) => `${dotted(s)};${comma(t)};${comma(h)}`,
);
const psql = exported(
  ' id |        taken_at        | temperature | humidity \n----+------------------------+-------------+----------',
  (s, t, h, i) => `  ${i} | ${s}:00+01 | ${t.padStart(11)} | ${h.padStart(8)}`,
  '(4 rows)\n\n',
);
const mariadb = exported(
  '+----+---------------------+------+------+\n| id | taken_at            | temp | rh   |\n+----+---------------------+------+------+',
  (s, t, h, i) => `| ${i} | ${s}:00 | ${t} | ${h} |`,
  '+----+---------------------+------+------+\n4 rows in set (0.001 sec)\n',
);

describe('an export is read for what it says', () => {
  it.each<{ why: string; text: string | Buffer; layout?: Said['layout'] }>([
    { why: 'commas', text: exported('time,temperature,humidity', (s, t, h) => `${s},${t},${h}`) },
    { why: 'tabs', text: exported('time\ttemp\trh', (s, t, h) => `${s}\t${t}\t${h}`) },
    { why: 'bars', text: exported('time|temp|rh', (s, t, h) => `${s}|${t}|${h}`) },
    { why: 'semicolons, decimal comma, day first', text: german },
    { why: 'blanks', text: exported('time temp rh', (s, t, h) => `${s.replace(' ', 'T')} ${t} ${h}`) },
    { why: 'blanks, which cut the stamp', text: exported('time temp rh', (s, t, h) => `${s}  ${t}   ${h}`) },
    { why: 'blanks, date and time', text: exported('date time temp rh', (s, t, h) => `${s} ${t} ${h}`) },
    { why: 'all in quotes', text: exported('"time","temp","rh"', (s, t, h) => `"${s}","${t}","${h}"`) },
    {
      why: 'decimal commas in quotes between commas',
      text: exported('"time","temp","rh"', (s, t, h) => `"${s}","${comma(t)}","${comma(h)}"`),
    },
    { why: 'a byte order mark', text: `\ufeff${german}` },
    { why: 'UTF-16, little end first', text: Buffer.from(`\ufeff${german}`, 'utf16le') },
    { why: 'UTF-16, big end first', text: Buffer.from(`\ufeff${german}`, 'utf16le').swap16() },
    { why: 'UTF-16 without mark', text: Buffer.from(german, 'utf16le') },
    { why: 'windows-1252', text: Buffer.from(german, 'latin1') },
    { why: 'CRLF', text: german.replaceAll('\n', '\r\n') },
    { why: 'CR CR LF', text: german.replaceAll('\n', '\r\r\n') },
    { why: 'CR alone', text: german.replaceAll('\n', '\r') },
    { why: 'no line end behind the last line', text: german.trimEnd() },
    {
      why: 'a running number without name',
      text: exported('Time,Temp,RH', (s, t, h, i) => `${i},${s},${t},${h}`),
    },
    { why: 'one in quotes', text: exported('"time","temp","rh"', (s, t, h, i) => `"${i}","${s}",${t},${h}`) },
    { why: 'a delimiter at the end', text: exported('Time;Temp;RH', (s, t, h) => `${s};${t};${h};`) },
    {
      why: 'one at the end of the heading too',
      text: exported('Time;Temp;RH;', (s, t, h) => `${s};${t};${h};`),
    },
    {
      why: 'one at the end of the heading only',
      text: exported('Time;Temp;RH;', (s, t, h) => `${s};${t};${h}`),
    },
    {
      why: 'date and time in two columns',
      text: exported(
        'Datum;Uhrzeit;Temperatur;Feuchte',
        (s, t, h) => `${dotted(s).replace(' ', ';')};${comma(t)};${comma(h)}`,
      ),
    },
    {
      why: 'the time before the date',
      text: exported('clock,date,t,rh', (s, t, h) => `${s.slice(11)},${s.slice(0, 10)},${t},${h}`),
    },
    {
      why: 'month first, twelve hours',
      text: exported('Date/Time,T,RH', (s, t, h) => `${slashed(s).replace(' 00', ' 12')} AM,${t},${h}`),
    },
    {
      why: 'epoch seconds',
      text: exported('ts\ttemp\thum', (s, t, h) => `${Date.parse(utc(s)) / 1000}\t${t}\t${h}`),
    },
    { why: 'a table of psql', text: psql },
    { why: 'a table of mariadb', text: mariadb },
    { why: 'a line that names the delimiter', text: `sep=;\n${german}` },
    {
      why: 'a title page',
      text: `Exported by the logger\nSerial;1234\nStarted;2025-10-01 00:00\nReadings;4;0\n\n${german}`,
    },
    { why: 'comments', text: `# shed, north wall\n# battery, 3.1 V\n${german}# end\n` },
    { why: 'a line of units', text: german.replace('\n', '\nTT.MM.JJJJ hh:mm;°C;%\n') },
    { why: 'a line of units with dashes', text: german.replace('\n', '\n-;°C;%\n') },
    { why: 'units in the cells', text: exported('time;temp;rh', (s, t, h) => `${s};${t} °C;${h} %`) },
    {
      why: 'units and decimal commas in them',
      text: exported('time;t;rh', (s, t, h) => `${s};${comma(t)}°C;${comma(h)}%`),
    },
    {
      why: 'long minus signs',
      text: exported('time;t;rh', (s, t, h) => `${s};${comma(t).replace('-', '\u2212')};${comma(h)}`),
    },
    {
      why: 'French',
      text: exported(
        'Horodatage;Température (°C);Humidité relative (%)',
        (s, t, h) => `${dotted(s)};${comma(t)};${comma(h)}`,
      ),
    },
    {
      why: 'Dutch',
      text: exported(
        'Datum/tijd;Temperatuur;Luchtvochtigheid',
        (s, t, h) => `${dotted(s)};${comma(t)};${comma(h)}`,
      ),
    },
    {
      why: '°F',
      text: exported('Time,Temperature (°F),Humidity', (s, t, h) => `${s},${fahrenheit(t)},${h}`),
    },
    { why: 'f behind a dash', text: exported('Time,temp_f,rh', (s, t, h) => `${s},${fahrenheit(t)},${h}`) },
    {
      why: '°F in a line of units',
      text: exported('Time,Temp,RH\n,°F,%', (s, t, h) => `${s},${fahrenheit(t)},${h}`),
    },
    { why: '°F in the cells', text: exported('Time,Temp,RH', (s, t, h) => `${s},${fahrenheit(t)} °F,${h}`) },
    {
      why: 'kelvin',
      text: exported('Time,T [K],RH', (s, t, h) => `${s},${(Number(t) + 273.15).toFixed(2)},${h}`),
    },
    {
      why: 'the time of the reading, not of its arrival',
      text: exported(
        'id,created_at,measured_at,temperature,humidity',
        (s, t, h, i) => `${i},${s}:45,${s},${t},${h}`,
      ),
    },
    {
      why: 'the time in UTC before the local one',
      text: exported(
        'time,time_utc,temperature,humidity',
        (s, t, h) => `${s},${utc(s).slice(0, 19)},${t},${h}`,
      ),
    },
    {
      why: 'UTC in brackets',
      text: exported('Time (UTC),T,RH', (s, t, h) => `${utc(s).slice(0, 19)},${t},${h}`),
    },
    {
      why: 'an offset in the heading',
      text: exported('"Date Time, GMT+02:00",T,RH', (s, t, h) => `${s.replace(' 00', ' 01')},${t},${h}`),
    },
    {
      why: 'columns that are something else',
      text: exported(
        'time,dew_point,temperature,absolute_humidity,humidity,battery,CO2,board_temperature,pressure,temp_max',
        (s, t, h) => `${s},8.1,${t},9.2,${h},3.70,812,31.5,1013.2,30.0`,
      ),
    },
    {
      why: 'the one of several that says no more than the quantity',
      text: exported('time,temperature,humidity,temperature wall', (s, t, h) => `${s},${t},${h},4.5`),
    },
    {
      why: 'backslashes before quotes',
      text: exported('"time","temp","rh","note"', (s, t, h) => `"${s}",${t},${h},"a \\"b\\", c"`),
    },
    {
      why: '\\N beside quotes written twice',
      text: exported('time,temp,rh,note,flag', (s, t, h) => `"${s}",${t},${h},"a ""b"", c",\\N`),
    },
    {
      why: 'no heading, values that tell',
      text: exported('', (s, t, h) => `${s},${t},${h}`),
    },
    {
      why: 'no heading, columns by number',
      text: exported('', (s, t, h) => `7,${h},${s},${t}`),
      layout: { header: false, timeColumn: '3', temperatureColumn: '4', humidityColumn: '2' },
    },
    {
      why: 'columns by number under headings',
      text: exported('A,B,C,D', (s, t, h) => `7,${h},${s},${t}`),
      layout: { temperatureColumn: '4', humidityColumn: '2' },
    },
    {
      why: 'columns by name',
      text: exported('when,north,south,north %,south %', (s, t, h) => `${s},1.5,${t},99,${h}`),
      layout: { temperatureColumn: 'South', humidityColumn: 'south %' },
    },
    {
      why: 'date and time by name',
      text: exported('d1,d2,c,t,rh', (s, t, h) => `2020-01-01,${s.replace(' ', ',')},${t},${h}`),
      layout: { timeColumn: 'd2+c' },
    },
    {
      why: 'delimiter, decimal mark and order that were said',
      text: exported('time~t~rh', (s, t, h) => `${dotted(s)}~${comma(t)}~${comma(h)}`),
      layout: { delimiter: '~', decimal: ',', dateOrder: 'day-first' },
    },
  ])('$why', async ({ text, layout }) => {
    const whole = await readOne(text, { layout: layout ?? {} });
    expect(rowsOf(whole)).toEqual(EXPECTED);
    expect(whole.lines.rejected).toBe(0);
    expect(whole.unreadable).toEqual([]);
    // the first piece of a pipe may hold a single byte
    expect(rowsOf(await readOne(text, { layout: layout ?? {}, piece: 1 }))).toEqual(EXPECTED);
  });

  it('with the heading as people read it, however the pipe cuts it', async () => {
    const { parts } = await readOne(Buffer.from(german, 'latin1'), { piece: 1 });
    expect(parts[0]!.assumed.encoding).toBe('windows-1252');
    expect(parts[0]!.assumed.columns?.temperature).toBe('Temperatur [°C]');
  });

  it('without humidity where there is to be none', async () => {
    const text = exported('time,temp', (s, t) => `${s},${t}`);
    const { log } = await readOne(text, { layout: { humidityColumn: 'none' } });
    expect([...log.temperature]).toEqual(TEMPERATURES.map(Number));
    expect([...log.humidity]).toEqual([NaN, NaN, NaN, NaN]);
  });

  it('with all its humidities missing', async () => {
    const { log } = await readOne(exported('time,temp,rh', (s, t) => `${s},${t},NULL`));
    expect([...log.humidity]).toEqual([NaN, NaN, NaN, NaN]);
  });
});

it('a word for a value does not speak for a delimiter that cuts stamps in two', async () => {
  const text = 'time\ttemp\trh\n2025-10-13 00:00\t20.1\twet\n2025-10-13 00:10\t20.4\t54.0\n';
  expect(rowsOf(await readOne(text))).toEqual([
    ['2025-10-12T23:00', 20.1, NaN],
    ['2025-10-12T23:10', 20.4, 54],
  ]);
});

describe('several loggers in a file', () => {
  const other = (value: string) => String(Number(value) + 5);

  it.each([
    { why: 'a column with names', column: 'logger', names: ['shed', 'loft'] },
    { why: 'a column with numbers', column: 'node_id', names: ['7', '12'] },
    { why: 'addresses', column: 'MAC', names: ['aa:bb:cc:dd:ee:01', 'aa:bb:cc:dd:ee:02'] },
  ])('$why, in however short a file', async ({ column, names }) => {
    const text = exported(
      `time,${column},temp,rh`,
      (s, t, h) => `${s},${names[0]},${t},${h}\n${s},${names[1]},${other(t)},${h}`,
    );
    const { logs } = await read(text);
    expect(logs.map(({ log }) => log.logger)).toEqual([...names].sort());
    expect(rowsOf(logs.find(({ log }) => log.logger === names[0])!)).toEqual(EXPECTED);
  });

  it('not by a column with values', async () => {
    const text = exported('time,sensor value,temp,rh', (s, t, h, i) => `${s},${i + 0.5},${t},${h}`);
    expect(rowsOf(await readOne(text))).toEqual(EXPECTED);
  });

  it('not if told so', async () => {
    const text = exported('time,logger,temp,rh', (s, t, h, i) => `${s},${i % 2},${t},${h}`);
    expect(rowsOf(await readOne(text, { layout: { loggerColumn: 'none' } }))).toEqual(EXPECTED);
  });

  it.each([
    { heading: 'time,T1,RH1,T2,RH2', names: ['1', '2'] },
    { heading: 'time,temp_shed,hum_shed,temp_loft,hum_loft', names: ['shed', 'loft'] },
    {
      heading: 'time,Shed Temperature (°C),Shed Humidity (%),Loft Temperature (°C),Loft Humidity (%)',
      names: ['shed', 'loft'],
    },
  ])('side by side: $heading', async ({ heading, names }) => {
    const { logs } = await read(exported(heading, (s, t, h) => `${s},${t},${h},${other(t)},${h}`));
    expect(logs.map(({ log }) => log.logger)).toEqual([...names].sort());
    expect(rowsOf(logs.find(({ log }) => log.logger === names[0])!)).toEqual(EXPECTED);
  });
});

it('a logger whose columns begin to be filled later is not left out', async () => {
  const before = Array.from({ length: 450 }, (_, i) => `${1_759_270_000 + i},20.5,50.5,,\n`).join('');
  const { logs } = await read(`ts,T1,RH1,T2,RH2\n${before}1759280000,20.6,50.6,5.5,80.5\n`);
  expect(logs.map(({ log }) => [log.logger, log.length, log.temperature[log.length - 1]])).toEqual([
    ['1', 451, 20.6],
    ['2', 1, 5.5],
  ]);
});

it('the plain columns are read where others only have more to say', async () => {
  const text = exported(
    'time,temperature,humidity,temperature 2,humidity 2',
    (s, t, h) => `${s},${t},${h},1.5,99.5`,
  );
  expect(rowsOf(await readOne(text))).toEqual(EXPECTED);
});

it('a failing sensor leaves few numbers, and its column is found by name', async () => {
  const text = exported(
    'time,temperature,humidity,temperature unit',
    (s, t, h, i) => `${s},${i === 0 ? t : 'err'},${h},C`,
  );
  const { log, unreadable } = await readOne(text);
  expect([...log.temperature]).toEqual([20.1, NaN, NaN, NaN]);
  expect(unreadable.length).toBe(3);
});

describe('where it cannot be told, it asks', () => {
  const days = (rows: number, from = '01/10/2025') =>
    Array.from(
      { length: rows },
      (_, i) =>
        `${from} ${String(Math.floor(i / 60) % 24).padStart(2, '0')}:${String(i % 60).padStart(2, '0')},20.5,50.5`,
    ).join('\n');

  it.each<{ why: string; text: string; says: RegExp; layout?: Said['layout'] }>([
    {
      why: 'day or month',
      text: `time,t,rh\n${days(60)}\n`,
      says: /^stdin:2: day and month.*01\/10\/2025 00:00\n.*--date-order/,
    },
    {
      why: 'both of them',
      text: `time,t,rh\n${days(60, '13/10/2025')}\n${days(60, '10/14/2025')}\n`,
      says: /^stdin:2: some dates.*\n.*--date-order/,
    },
    {
      why: 'two temperatures',
      text: exported('time,temp north,temp south,rh', (s, t, h) => `${s},${t},${t},${h}`),
      says: /^stdin:1: 2 columns may be the air temperature\n.*--temperature-column.*2 "temp north", 3 "temp south"/,
    },
    {
      why: 'two humidities',
      text: exported('time,temp,rh a,rh b', (s, t, h) => `${s},${t},${h},${h}`),
      says: /^stdin:1: 2 columns may be the relative humidity\n.*--humidity-column/,
    },
    {
      why: 'two times',
      text: exported('time,stamp,temp,rh', (s, t, h) => `${s},${s},${t},${h}`),
      says: /^stdin:1: 2 columns hold a time\n.*--time-column/,
    },
    {
      why: 'no temperature',
      text: exported('time,rh,lux', (s, _, h) => `${s},${h},5`),
      says: /^stdin:1: no column was found that holds the temperature\n.*--temperature-column/,
    },
    {
      why: 'no humidity',
      text: exported('time,temp,lux', (s, t) => `${s},${t},5`),
      says: /^stdin:1: no column was found that holds the relative humidity\n.*--humidity-column none/,
    },
    {
      why: 'no heading, values that do not tell',
      text: '2025-10-01 00:00,20.5,50.5\n2025-10-01 00:10,20.6,50.4\n2025-10-01 00:20,20.6,50.4\n',
      says: /^stdin: no column was found that holds the temperature\n.*--temperature-column/,
    },
    {
      why: 'a column that is not there',
      text: exported('time,a,b', (s, t, h) => `${s},${t},${h}`),
      layout: { temperatureColumn: 'x' },
      says: /^stdin:1: there is no column "x"\n.*--temperature-column.*2 "a", 3 "b"/,
    },
    {
      why: 'column 0',
      text: exported('time,a,b', (s, t, h) => `${s},${t},${h}`),
      layout: { temperatureColumn: '0' },
      says: /there is no column "0"/,
    },
    {
      why: 'a name that comes twice',
      text: exported('time,t,t,rh', (s, t, h) => `${s},${t},${t},${h}`),
      layout: { temperatureColumn: 't' },
      says: /^stdin:1: several columns are headed "t"/,
    },
    {
      why: 'decimal commas between commas',
      text: exported('time,t,rh', (s, t, h) => `${s},${comma(t)},${comma(h)}`),
      says: /^stdin:1: the header names 3 columns, but the lines below have 5 cells\n.*semicolons/,
    },
    {
      why: 'degrees of no name',
      text: exported('time,t,rh', (s, t, h) => `${s},${fahrenheit(t)},${h}`),
      says: /too hot for air in °C.*\n.*--temperature-unit/,
    },
    {
      why: 'fractions',
      text: `time,t,rh\n${days(40, '13/10/2025')
        .replace(/50\.5/g, () => '0.5')
        .split('\n')
        .map((line, i) => `${line}${i}`)
        .join('\n')}\n`,
      says: /may be fractions.*\n.*--humidity-unit/,
    },
    {
      why: 'fractions with a value for an error among them',
      text: `time,t,rh\n${days(40, '13/10/2025')
        .split('\n')
        .map((line, i) => line.replace(/[^,]*$/, i === 7 ? '-999' : `0.5${i}`))
        .join('\n')}\n`,
      says: /may be fractions/,
    },
    {
      why: 'two units side by side',
      text: exported('time,a temp [°C],a rh,b temp [°F],b rh', (s, t, h) => `${s},${t},${h},${t},${h}`),
      says: /^stdin: the temperature columns have different units\n.*--temperature-column/,
    },
    {
      why: 'no stamps',
      text: 'one,two\nthree,four\n',
      says: /^stdin:2: no line like this holds a time stamp/,
    },
    {
      why: 'another heading in the middle',
      text: exported(
        'time,temp_C,rh',
        (s, t, h) => `${s},${t},${h}`,
        'time,temp_F,rh\n2025-10-14 00:00,68,50\n',
      ),
      says: /^stdin:6: another heading begins here, without the column "temp_C".*\n.*cut the file in two/,
    },
  ])('$why', async ({ text, says, layout }) => {
    expect(explain(await refusal(text, { layout: layout ?? {} }))).toMatch(says);
  });

  it('not where what was said settles it', async () => {
    const said = { dateOrder: 'month-first', humidityUnit: 'pct', temperatureUnit: 'degC' } as const;
    const { log } = await readOne(`time,t,rh\n${days(60).replaceAll('20.5', '70.5')}\n`, { layout: said });
    expect([new Date(log.time[0]!).toISOString(), log.temperature[0]]).toEqual([
      '2025-01-10T00:00:00.000Z',
      70.5,
    ]);
  });

  it('not where a later day settles the order, beyond what is looked at first', async () => {
    const first = Array.from({ length: 14_000 }, (_, i) => {
      const clock = new Date(i * 6000).toISOString().slice(11, 19);
      return `05/06/2025 ${clock},20.5,50.5`;
    });
    const text = `time,t,rh\n${[...first, '13/06/2025 00:00:00,20.5,50.5'].join('\n')}\n`;
    expect(text.length).toBeGreaterThan(1 << 18);
    const { log, parts } = await readOne(text);
    expect(parts[0]!.assumed.time).toBe('day-first local');
    expect([log.length, new Date(log.time[0]!).toISOString()]).toEqual([14_001, '2025-06-04T23:00:00.000Z']);
    expect((await refusal(`time,t,rh\n${first.join('\n')}\n`)).message).toMatch(/day and month/);
  });
});

describe('a heading', () => {
  it.each([
    ['Temperature (°C)', 'temperature', 'degC'],
    ['Temperature_Celsius(℃)', 'temperature', 'degC'],
    ['airTemp', 'temperature', null],
    ['Lufttemperatur [°C]', 'temperature', 'degC'],
    ['TEMP F', 'temperature', 'degF'],
    ['tempf', 'temperature', 'degF'],
    ['Température', 'temperature', null],
    ['RH_1', 'humidity', null],
    ['rel. Feuchte [%]', 'humidity', 'pct'],
    ['Humidité relative (%)', 'humidity', 'pct'],
    ['Luchtvochtigheid', 'humidity', null],
    ['dew point (°C)', null, null],
    ['Taupunkt', null, null],
    ['absolute humidity', null, null],
    ['humidity ratio', null, null],
    ['board temperature', null, null],
    ['temp_max', null, null],
    ['surface temperature', null, null],
    ['battery', null, null],
    ['Zeitstempel', 'time', null],
    ['Uhrzeit', 'clock', null],
    ['Datum', 'date', null],
    ['device id', 'logger', null],
    ['', null, null],
  ])('%s means %s in %s', (heading, role, unit) => {
    expect(meaningOf(heading)).toMatchObject({ role, unit });
  });

  it.each([
    ['time_utc', 0],
    ['timeUTC', 0],
    ['Time (UTC)', 0],
    ['Date Time, GMT+01:00', 3_600_000],
    ['Zeit [UTC-3:30]', -12_600_000],
    ['time', null],
    ['Zeitpunkt', null],
    ['gmtime', null],
  ])('%s has offset %s', (heading, offset) => {
    expect(meaningOf(heading).offset).toBe(offset);
  });
});
