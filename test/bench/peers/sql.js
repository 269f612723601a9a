// The job with window functions: node sql.js LOG TABLE [CLEANED]; the engine's package is looked for in $PEERS
import { createRequire } from 'node:module';
import { join } from 'node:path';

const [log, table, cleaned] = process.argv.slice(2);
const requireFrom = createRequire(join(process.env.PEERS || process.cwd(), 'package.json'));
const { DuckDBInstance } = requireFrom('@duckdb/node-api');
const instance = await DuckDBInstance.create(':memory:');
const database = await instance.connect();
const run = (sql) => database.run(sql);
const text = (path) => `'${path.replaceAll("'", "''")}'`;

const SATURATION = (t) => `(6.1121 * exp((18.678 - ${t} / 234.5) * ${t} / (257.14 + ${t})))`;
const SLOPE = (t) =>
  `((18.678 * 257.14 - (2 * 257.14 * ${t} + ${t} * ${t}) / 234.5) / ((257.14 + ${t}) * (257.14 + ${t})))`;
const P = 1013.25;
const FACTOR = 1.0016 + 3.15e-6 * P - 0.074 / P;
const RATIO = (e) => `(0.621945 * ${e} / (${P} - ${e}))`;
const MINUTE = 60_000;
const LAG = 180 * MINUTE;

await run(`
  create temp table read as
  select row_number() over () as line, epoch_ms(time) as ms,
    try_cast(temperature as double) as raw_t, try_cast(humidity as double) as raw_u
  from read_csv(${text(log)}, header = true, delim = ',',
    columns = {'time': 'TIMESTAMP', 'temperature': 'VARCHAR', 'humidity': 'VARCHAR'})`);
await run(`
  create temp table judged as
  select line, ms,
    case when raw_t between -40 and 60 then raw_t end as t, case when raw_u between 1 and 104 then raw_u end as u,
    (raw_t is null or isnan(raw_t))::int + (raw_u is null or isnan(raw_u))::int as missing,
    coalesce((raw_t = -999)::int, 0) + coalesce((raw_u = -999)::int, 0) as stand_in,
    coalesce((not isnan(raw_t) and raw_t <> -999 and raw_t not between -40 and 60)::int, 0)
      + coalesce((not isnan(raw_u) and raw_u <> -999 and raw_u not between 1 and 104)::int, 0) as beyond,
    ms < max(ms) over (order by line rows between unbounded preceding and 1 preceding) as late
  from read`);
await run(`
  create temp table numbered as
  select *, row_number() over same as place,
    (first_value(t) over same is not distinct from t) and (first_value(u) over same is not distinct from u) as alike
  from judged window same as (partition by ms order by line)`);
await run(`create temp table kept as select ms, t, u from numbered where place = 1 order by ms`);

async function steps(column, most) {
  const reader = await database.runAndReadAll(`
    with good as (select ms, ${column} as v, lag(${column}) over w as before, lag(ms) over w as before_ms
      from kept where ${column} is not null window w as (order by ms)),
    runs as (select *, sum((before is null or v <> before)::int) over (order by ms) as run from good),
    since as (select *, min(ms) over (partition by run) as since from runs)
    select coalesce(sum((ms - before_ms <= ${2 * MINUTE} and abs(v - before) > ${most})::int), 0)::double,
      coalesce(sum((v = before and ms - since >= ${360 * MINUTE})::int), 0)::double from since`);
  return reader.getRows()[0];
}

await run(`
  create temp table air0 as
  select *, ${SATURATION('t')} as full_pressure, case when u > 100 then 1 else u / 100 end * ${SATURATION('t')} as vapour,
    strftime((make_timestamp(ms * 1000) at time zone 'UTC') at time zone 'Europe/Berlin', '%Y-%m-%d') as day
  from kept`);
const dew = (s) =>
  `2 * 257.14 * ${s} / (18.678 - ${s} + sqrt((18.678 - ${s}) * (18.678 - ${s}) - 4 * 257.14 * ${s} / 234.5))`;
const newton = (from) => `
  select *, w - ((2501 - 2.326 * w) * ${RATIO('over')} - 1.006 * (t - w) - r * (2501 + 1.86 * t - 4.186 * w))
    / ((2501 - 2.326 * w) * ${RATIO('over')} * ${SLOPE('w')} * ${P} / (${P} - over) - 2.326 * ${RATIO('over')} + 1.006 + 4.186 * r) as bulb
  from (select *, ${FACTOR} * ${SATURATION('w')} as over from ${from})`;
await run(`
  create temp table air as
  with a as (select *, full_pressure - vapour as deficit, ${dew('ln(vapour / 6.1121)')} as dew,
      216.679 * ${FACTOR} * vapour / (t + 273.15) as absolute, ${RATIO(`(${FACTOR} * vapour)`)} as r from air0),
  b as (${newton('(select *, t - (t - dew) / 3 as w from a)')}),
  c as (${newton('(select * exclude (w, over, bulb), bulb as w from b)')}),
  d as (${newton('(select * exclude (w, over, bulb), bulb as w from c)')})
  select ms, day, t, u, dew, bulb as wet_bulb, vapour, deficit, absolute, 1000 * r as mixing from d`);

// a lag has no window form: sums of growing exponentials within blocks of sixty days, then from block to block
const BLOCK = 60 * 1440 * MINUTE;
await run(`
  create temp table lag0 as
  with a as (select ms, t, lag(ms) over w as before_ms, lag(t) over w as before_t
    from kept where t is not null window w as (order by ms)),
  b as (select ms, t, (t - before_t) / (ms - before_ms) * ${LAG} as behind, exp((before_ms - ms)::double / ${LAG}) as remains,
      before_t, (ms // ${BLOCK}) as block, ((ms % ${BLOCK})::double / ${LAG}) as passed from a),
  c as (select *, case when before_t is null then t else t - behind + (behind - before_t) * remains end as goal from b)
  select ms, t, block, sum(goal * exp(passed)) over (partition by block order by ms) * exp(-passed) as own from c`);
await run(`
  create temp table lagged as
  with recursive ends as (select block, max(ms) as ms, arg_max(own, ms) as own from lag0 group by block),
  chain(block, ms, own) as (
    (select block, ms, own from ends order by block limit 1)
    union all
    select e.block, e.ms, e.own + c.own * exp((c.ms - e.ms)::double / ${LAG}) from chain c join ends e on e.block = c.block + 1)
  select l.ms, l.own + coalesce(c.own * exp((c.ms - l.ms)::double / ${LAG}), 0) as surface
  from lag0 l left join chain c on c.block = l.block - 1`);

const weighted = ['t', 'u', 'dew', 'wet_bulb', 'vapour', 'deficit', 'absolute', 'mixing'];
const means = (columns) => `
  with good as (select day, lead(ms) over w - ms as span, ${columns
    .map((name) => `(${name} + lead(${name}) over w) / 2 as ${name}`)
    .join()} from air where ${columns[0]} is not null window w as (order by ms))
  select day, ${columns.map((name) => `sum(${name} * span) / sum(span) as ${name}`).join()}
  from good where span <= ${2 * MINUTE} group by day`;
await run(`create temp table means_t as ${means(weighted.slice(0, 1))}`);
await run(`create temp table means_u as ${means(weighted.slice(1, 2))}`);
await run(`create temp table means_both as ${means(weighted.slice(2))}`);
await run(`
  create temp table wet as
  with m as (select a.ms, day, surface - dew as m from air a join lagged l on a.ms = l.ms where dew is not null),
  p as (select day, ms, m as from_m, lead(m) over w as to_m, lead(ms) over w - ms as span from m window w as (order by ms))
  select day, sum(case when from_m <= 0 and to_m <= 0 then span
      when from_m <= 0 or to_m <= 0 then span * -least(from_m, to_m) / abs(to_m - from_m) else 0 end) / 3600000 as hours
  from p where span <= ${2 * MINUTE} and ms - (select min(ms) from kept) >= ${3 * LAG} group by day`);
await run(`
  copy (
    with low as (select day, count(*) filter (t is not null or u is not null) as readings,
      min(t) as t_min, arg_min(ms, t) as x, max(t) as t_max, min(u) as u_min, max(u) as u_max from air group by day),
    first_low as (select a.day, min(ms) as at from air a join low on a.day = low.day and a.t = t_min group by a.day),
    first_high as (select a.day, min(ms) as at from air a join low on a.day = low.day and a.t = t_max group by a.day)
    select day, readings, t_min, first_low.at // ${MINUTE} as t_min_at, t_max, first_high.at // ${MINUTE} as t_max_at,
      means_t.t as t_mean, u_min, u_max, means_u.u as u_mean, dew, wet_bulb, vapour, deficit, absolute, mixing,
      coalesce(wet.hours, 0) as wet_hours
    from low join first_low using (day) join first_high using (day) join means_t using (day) join means_u using (day)
      join means_both using (day) left join wet using (day) order by day
  ) to ${text(table)} (header true)`);
if (cleaned !== undefined) {
  const places = weighted.slice(2).map((name) => `round(${name}, 2) as ${name}`);
  await run(`
    copy (select strftime(make_timestamp(ms * 1000), '%Y-%m-%dT%H:%M:%SZ') as time, t, u, ${places.join()}
    from air order by ms) to ${text(cleaned)} (header true)`);
}
const [stepT, flatT] = await steps('t', 3);
const [stepU, flatU] = await steps('u', 15);
const reader = await database.runAndReadAll(`
  select sum(missing)::double, sum(stand_in)::double, sum(beyond)::double, sum(late::int)::double,
    sum((place > 1 and alike)::int)::double, sum((place > 1 and not alike)::int)::double,
    (select count(*) from (select ms - lag(ms) over (order by ms) as step from kept) where step > ${1.5 * MINUTE})::double
  from numbered`);
const [missing, standIn, range, late, duplicate, conflict, gap] = reader.getRows()[0];
const counts = {
  missing,
  standIn,
  range,
  late,
  duplicate,
  conflict,
  step: stepT + stepU,
  gap,
  flat: flatT + flatU,
};
console.log(JSON.stringify(counts));
