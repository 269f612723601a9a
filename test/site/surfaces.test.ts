import { describe, expect, it } from 'vitest';
import { boardTimeConstant } from '../../src/damp/board.js';
import { ASSUMED_TRAITS, type Surface } from '../../src/damp/surface.js';
import { explain, InputError } from '../../src/errors.js';
import { parseSite } from '../../src/site/load.js';
import { HOUR } from '../../src/units.js';

const PLACE = 'latitude_deg = 54.4\nlongitude_deg = -3.0\n';
const OTHERS =
  '[[logger]]\nid = "north-wall"\nfiles = []\nsensor.air_temperature_accuracy_K = 0.2\n' +
  '[[logger]]\nid = "hull"\nfiles = []\n';

/** A site whose one surface has these lines, which begin at line 8; two more loggers follow. */
const siteWith = (lines: string) =>
  `${PLACE}[[logger]]\nid = "boat-hall"\nfiles = []\n` +
  `[[logger.surface]]\nname = "winch"\n${lines}\n${OTHERS}`;

function surfaceOf(lines: string): Surface {
  return parseSite(siteWith(lines), 'club.toml').loggers[0]!.surfaces[0]!;
}

function mistakeIn(text: string): string {
  try {
    parseSite(text, 'club.toml');
  } catch (error) {
    if (error instanceof InputError) return explain(error);
    throw error;
  }
  throw new Error('no mistake was found');
}

describe('a surface of the site file', () => {
  it.each([
    { lines: 'model = "air"', is: { model: 'air' } },
    {
      lines: 'model = "mass"\ntime_constant = "PT1H30M"',
      is: { model: 'mass', timeConstant: 1.5 * HOUR },
    },
    {
      lines: 'model = "measured"\nlogger = "north-wall"',
      is: {
        model: 'measured',
        thermometer: { logger: 'north-wall' },
        accuracy: 0.2,
        accuracySource: 'site',
      },
    },
    {
      lines: 'model = "measured"\nlogger = "hull"',
      is: { model: 'measured', thermometer: { logger: 'hull' }, accuracy: 0.5, accuracySource: 'assumed' },
    },
    {
      lines: 'model = "measured"\nlogger = "north-wall"\naccuracy_K = 0',
      is: { model: 'measured', thermometer: { logger: 'north-wall' }, accuracy: 0, accuracySource: 'site' },
    },
    {
      lines: 'model = "measured"\ncolumn = "hull_temp"',
      is: {
        model: 'measured',
        thermometer: { column: 'hull_temp' },
        accuracy: 0.5,
        accuracySource: 'assumed',
      },
    },
    {
      lines: 'model = "measured"\ncolumn = "hull_temp"\naccuracy_K = 0.1',
      is: { model: 'measured', thermometer: { column: 'hull_temp' }, accuracy: 0.1, accuracySource: 'site' },
    },
    {
      lines: 'model = "between"\noutside = "north-wall"\ntemperature_factor = 0.7',
      is: {
        model: 'between',
        outside: 'north-wall',
        temperatureFactor: 0.7,
        outsideAccuracy: 0.2,
        accuracySource: 'site',
      },
    },
    {
      lines: 'model = "between"\noutside = "hull"\ntemperature_factor = 1',
      is: {
        model: 'between',
        outside: 'hull',
        temperatureFactor: 1,
        outsideAccuracy: 0.5,
        accuracySource: 'assumed',
      },
    },
    {
      lines: 'model = "night-sky"\ndrop_K = 3',
      is: { model: 'night-sky', drop: 3, position: { latitude: 54.4, longitude: -3 } },
    },
  ])('$lines', ({ lines, is }) => {
    expect(surfaceOf(lines)).toEqual({ name: 'winch', ...is, ...ASSUMED_TRAITS });
  });

  it('has its time constant worked out from what it is made of', () => {
    const steel = 'model = "mass"\nmaterial = "steel"\nthickness_mm = 6\nfaces = 2\nexposure = "indoors"';
    expect(surfaceOf(steel)).toEqual({
      name: 'winch',
      model: 'mass',
      timeConstant: expect.closeTo(0.408 * HOUR, -4),
      body: {
        material: 'steel',
        thickness: 6,
        faces: 2,
        exposure: 'indoors',
        biot: expect.closeTo(0.0005, 4),
        indicative: false,
      },
      ...ASSUMED_TRAITS,
    });
    expect(surfaceOf(steel.replace('steel', 'wood'))).toMatchObject({ body: { indicative: true } });
    expect(surfaceOf(steel.replace('steel', 'cast iron'))).toMatchObject({ body: { material: 'cast iron' } });
  });

  it.each([
    {
      lines: 'board_time_constant = "P2D"',
      traits: { board: { timeConstant: 48 * HOUR, timeConstantSource: 'site' } },
    },
    {
      lines: 'wood_thickness_mm = 20\nwood_faces = 2',
      traits: { board: { timeConstant: boardTimeConstant(20, 2), timeConstantSource: 'estimate' } },
    },
    {
      lines: 'wood_thickness_mm = 20\nwood_faces = 1',
      traits: { board: { timeConstant: boardTimeConstant(40, 2), timeConstantSource: 'estimate' } },
    },
    {
      lines: 'mould_class = "medium resistant"',
      traits: { mould: { class: 'medium resistant', decline: 0.25 } },
    },
    { lines: 'mould_decline = 1', traits: { mould: { class: 'sensitive', decline: 1 } } },
    {
      lines: 'mould_class = "very sensitive"\nmould_decline = 0.1',
      traits: { mould: { class: 'very sensitive', decline: 0.1 } },
    },
  ])('with every model may say $lines', ({ lines, traits }) => {
    expect(surfaceOf(`model = "air"\n${lines}`)).toEqual({
      name: 'winch',
      model: 'air',
      ...ASSUMED_TRAITS,
      ...traits,
    });
  });
});

describe('one message, at the right line, about a surface with', () => {
  it.each([
    {
      why: 'a time constant of air',
      lines: 'model = "air"\ntime_constant = "PT3H"',
      says:
        '9:1: … time_constant has no meaning for model = "air": "PT3H"\n' + '  it belongs to model = "mass"',
    },
    {
      why: 'a drop of a mass',
      lines: 'model = "mass"\ntime_constant = "PT3H"\ndrop_K = 3',
      says: '10:1: … drop_K has no meaning for model = "mass": 3\n  it belongs to model = "night-sky"',
    },
    {
      why: 'an outside of a measured surface',
      lines: 'outside = "hull"\nmodel = "measured"\nlogger = "hull"',
      says: '8:1: … outside has no meaning for model = "measured": "hull"\n  it belongs to model = "between"',
    },
    {
      why: 'a mass without time constant',
      lines: 'model = "mass"',
      says:
        '6:1: … time_constant is missing\n' +
        '  model = "mass" needs the time in which the surface makes up 63 % of a step of the air, ' +
        'a line such as time_constant = "PT3H", or material, thickness_mm, faces and exposure, ' +
        'of which it is worked out',
    },
    {
      why: 'time constant and material',
      lines: 'model = "mass"\ntime_constant = "PT3H"\nmaterial = "steel"',
      says: '10:1: … material cannot stand beside time_constant: "steel"\n  keep the one that you know better',
    },
    {
      why: 'measures of nothing',
      lines: 'model = "mass"\nthickness_mm = 6\ntime_constant = "PT3H"',
      says: '9:1: … thickness_mm needs material beside it: 6\n  a line such as material = "steel"',
    },
    {
      why: 'material without thickness',
      lines: 'model = "mass"\nmaterial = "steel"',
      says:
        '6:1: … thickness_mm is missing\n' +
        '  material = "steel" needs more to work out the time constant, a line such as thickness_mm = 6',
    },
    {
      why: 'material without faces',
      lines: 'model = "mass"\nmaterial = "steel"\nthickness_mm = 6',
      says:
        '6:1: … faces is missing\n' +
        '  material = "steel" needs more to work out the time constant, ' +
        'a line such as faces = 2 (how many of its two sides the air reaches)',
    },
    {
      why: 'material without exposure',
      lines: 'model = "mass"\nmaterial = "steel"\nthickness_mm = 6\nfaces = 1',
      says:
        '6:1: … exposure is missing\n' +
        '  material = "steel" needs more to work out the time constant, ' +
        'a line such as exposure = "indoors" or exposure = "outdoors"',
    },
    {
      why: 'a material that there is not',
      lines: 'model = "mass"\nmaterial = "tin"',
      says:
        '9:1: … material must be "steel", "cast iron", "aluminium", "brass", "stone", "brick", "concrete", ' +
        '"glass" or "wood": "tin"',
    },
    {
      why: 'no thickness to speak of',
      lines: 'model = "mass"\nmaterial = "steel"\nthickness_mm = 0',
      says: '10:1: … thickness_mm must be a number from 0.01 to 5000 mm: 0',
    },
    {
      why: 'three faces',
      lines: 'model = "mass"\nmaterial = "steel"\nfaces = 3',
      says: '10:1: … faces must be 1 or 2: how many of the two sides the air reaches: 3',
    },
    {
      why: 'an exposure between',
      lines: 'model = "mass"\nexposure = "porch"',
      says: '9:1: … exposure must be "indoors" or "outdoors": "porch"',
    },
    {
      why: 'a measured surface without thermometer',
      lines: 'model = "measured"',
      says:
        '6:1: … logger is missing\n' +
        '  model = "measured" needs the thermometer on the surface, a line such as logger = "hull", ' +
        'or column = "hull_temp" for a column of its own file',
    },
    {
      why: 'two thermometers',
      lines: 'model = "measured"\nlogger = "hull"\ncolumn = "hull_temp"',
      says: '10:1: … column cannot stand beside logger: "hull_temp"\n  keep the one that you know better',
    },
    {
      why: 'a thermometer that is the air',
      lines: 'model = "measured"\nlogger = "boat-hall"',
      says:
        '9:1: … logger must be another logger than its own: "boat-hall"\n' +
        '  a surface as warm as the air at its own logger has model = "air"',
    },
    {
      why: 'a logger misspelt',
      lines: 'model = "measured"\nlogger = "nort-wall"',
      says: '9:1: … logger is no logger of this file: "nort-wall"\n  did you mean north-wall?',
    },
    {
      why: 'a logger unheard of',
      lines: 'model = "between"\noutside = "greenhouse"\ntemperature_factor = 0.7',
      says: '9:1: … outside is no logger of this file: "greenhouse"\n  the others here: north-wall, hull',
    },
    {
      why: 'a negative accuracy',
      lines: 'model = "measured"\nlogger = "hull"\naccuracy_K = -1',
      says: '10:1: … accuracy_K must be a number of kelvins, 0 or more: -1',
    },
    {
      why: 'a wall without outside',
      lines: 'model = "between"\ntemperature_factor = 0.7',
      says:
        '6:1: … outside is missing\n' +
        '  model = "between" needs the logger outside, a line such as outside = "north-wall"',
    },
    {
      why: 'a wall without factor',
      lines: 'model = "between"\noutside = "hull"',
      says:
        '6:1: … temperature_factor is missing\n' +
        '  model = "between" needs how near the surface is to the air inside, from 0 to 1 (ISO 13788), ' +
        'a line such as temperature_factor = 0.7',
    },
    {
      why: 'a factor in percent',
      lines: 'model = "between"\noutside = "hull"\ntemperature_factor = 70',
      says: '10:1: … temperature_factor must be a number from 0 to 1: 70',
    },
    {
      why: 'a sky without drop',
      lines: 'model = "night-sky"',
      says:
        '6:1: … drop_K is missing\n' +
        '  model = "night-sky" needs how much colder than the air the surface is at night ' +
        '(your assumption), a line such as drop_K = 3',
    },
    {
      why: 'a sky that is too cold',
      lines: 'model = "night-sky"\ndrop_K = 10.5',
      says: '9:1: … drop_K must be a number from 0 to 10 K: 10.5',
    },
    {
      why: 'wood without faces',
      lines: 'model = "air"\nwood_thickness_mm = 20',
      says:
        '6:1: … wood_faces is missing\n' +
        '  wood_thickness_mm needs to know how many of its two sides the air reaches, ' +
        'a line such as wood_faces = 2',
    },
    {
      why: 'faces without wood',
      lines: 'model = "air"\nwood_faces = 2',
      says: '9:1: … wood_faces needs wood_thickness_mm beside it: 2\n  a line such as wood_thickness_mm = 20',
    },
    {
      why: 'a board known twice',
      lines: 'model = "air"\nwood_thickness_mm = 20\nwood_faces = 2\nboard_time_constant = "P2D"',
      says: '9:1: … wood_thickness_mm cannot stand beside board_time_constant: 20\n  keep the one that you know better',
    },
    {
      why: 'a board without time',
      lines: 'model = "air"\nboard_time_constant = "PT0S"',
      says: '9:1: … board_time_constant must be longer than nothing: "PT0S"',
    },
    {
      why: 'a class that there is not',
      lines: 'model = "air"\nmould_class = "touchy"',
      says:
        '9:1: … mould_class must be "very sensitive", "sensitive", "medium resistant" or "resistant": ' +
        '"touchy"',
    },
    {
      why: 'a decline of nothing',
      lines: 'model = "air"\nmould_decline = 0',
      says: '9:1: … mould_decline must be a number from 0.1 to 1: 0',
    },
    {
      why: 'a unit left out',
      lines: 'model = "night-sky"\ndrop = 3',
      says: '9:1: … drop is not a known key\n  did you mean drop_K?',
    },
  ])('$why', ({ lines, says }) => {
    expect(mistakeIn(siteWith(lines))).toBe(`club.toml:${says.replace('… ', 'logger[1].surface[1].')}`);
  });

  it('a night sky over a place unknown', () => {
    const text = siteWith('drop_K = 3\nmodel = "night-sky"').slice(PLACE.length);
    expect(mistakeIn(text)).toBe(
      'club.toml:7:1: logger[1].surface[1].model needs to know where the site is: "night-sky"\n' +
        '  add latitude_deg and longitude_deg to the top part, before the first [table]: ' +
        'night is when the sun is down there',
    );
  });

  it('a thermometer where there is no other logger', () => {
    const text = siteWith('model = "measured"\nlogger = "hull"').replace(OTHERS, '');
    expect(mistakeIn(text)).toBe(
      'club.toml:9:1: logger[1].surface[1].logger is no logger of this file: "hull"\n' +
        '  describe it too, under a line [[logger]]',
    );
  });
});
