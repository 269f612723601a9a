import { describe, expect, it } from 'vitest';
import { paletteFor, styleFor } from '../../src/present/terminal.js';

const terminal = { isTTY: true, columns: 100 };
const pipe = {};

describe('colour', () => {
  // Each row beats everything in the rows below it.
  it.each([
    { stream: terminal, env: { FORCE_COLOR: '1' }, colour: false, level: 0, why: 'the command line says no' },
    {
      stream: pipe,
      env: { NO_COLOR: '1', TERM: 'dumb' },
      colour: true,
      level: 1,
      why: 'the command line says yes',
    },
    { stream: terminal, env: { NO_COLOR: '1', FORCE_COLOR: '1' }, level: 0, why: 'NO_COLOR' },
    { stream: terminal, env: { NO_COLOR: '' }, level: 1, why: 'an empty NO_COLOR says nothing' },
    { stream: terminal, env: { FORCE_COLOR: '0', CLICOLOR_FORCE: '1' }, level: 0, why: 'FORCE_COLOR=0' },
    { stream: pipe, env: { FORCE_COLOR: '1', TERM: 'dumb' }, level: 1, why: 'FORCE_COLOR' },
    { stream: pipe, env: { FORCE_COLOR: '' }, level: 0, why: 'an empty FORCE_COLOR says nothing' },
    { stream: pipe, env: { CLICOLOR_FORCE: '1', TERM: 'dumb' }, level: 1, why: 'CLICOLOR_FORCE' },
    { stream: pipe, env: { CLICOLOR_FORCE: '0' }, level: 0, why: 'CLICOLOR_FORCE=0 says nothing' },
    { stream: terminal, env: { CLICOLOR_FORCE: '0' }, level: 1, why: 'CLICOLOR_FORCE=0 says nothing' },
    { stream: terminal, env: { TERM: 'dumb' }, level: 0, why: 'a dumb terminal' },
    { stream: terminal, env: {}, level: 1, why: 'a terminal' },
    { stream: pipe, env: { TERM: 'xterm-256color', COLORTERM: 'truecolor' }, level: 0, why: 'a pipe' },
    { stream: { isTTY: false }, env: {}, level: 0, why: 'a file' },
  ])('$level: $why', ({ stream, env, colour, level }) => {
    expect(styleFor(stream, env, { colour }).level).toBe(level);
  });
});

describe('width', () => {
  it.each([
    { stream: terminal, env: { COLUMNS: '60' }, width: 100, why: 'the terminal knows best' },
    { stream: { isTTY: true }, env: { COLUMNS: '60' }, width: 60, why: 'the terminal does not say' },
    { stream: { isTTY: true, columns: 0 }, env: { COLUMNS: '60' }, width: 60, why: 'a terminal of no size' },
    { stream: { isTTY: true }, env: {}, width: null, why: 'nobody says' },
    { stream: { isTTY: true }, env: { COLUMNS: 'wide' }, width: null, why: 'not a number' },
    { stream: { isTTY: true }, env: { COLUMNS: '' }, width: null, why: 'empty' },
    { stream: { isTTY: true }, env: { COLUMNS: '-5' }, width: null, why: 'no width' },
    { stream: pipe, env: { COLUMNS: '60' }, width: null, why: 'nothing is cut in a pipe' },
  ])('$width: $why', ({ stream, env, width }) => {
    expect(styleFor(stream, env).width).toBe(width);
  });
});

describe('characters', () => {
  it.each([
    { stream: terminal, env: { LANG: 'en_GB.UTF-8' }, unicode: true, why: 'a UTF-8 locale' },
    { stream: terminal, env: { LANG: 'C.utf8' }, unicode: true, why: 'the other spelling' },
    { stream: terminal, env: {}, unicode: false, why: 'no locale' },
    { stream: terminal, env: { LANG: 'C' }, unicode: false, why: 'the C locale' },
    {
      stream: terminal,
      env: { LC_ALL: 'C', LANG: 'en_GB.UTF-8' },
      unicode: false,
      why: 'LC_ALL stands over LANG',
    },
    {
      stream: terminal,
      env: { LC_CTYPE: 'C', LANG: 'en_GB.UTF-8' },
      unicode: false,
      why: 'so does LC_CTYPE',
    },
    {
      stream: terminal,
      env: { LC_ALL: '', LANG: 'en_GB.UTF-8' },
      unicode: true,
      why: 'an empty one says nothing',
    },
    { stream: pipe, env: { LC_ALL: 'C' }, unicode: true, why: 'a pipe is UTF-8 always' },
  ])('unicode $unicode: $why', ({ stream, env, unicode }) => {
    expect(styleFor(stream, env).unicode).toBe(unicode);
  });
});

describe('paletteFor', () => {
  it('gives texts back untouched without colour', async () => {
    const palette = await paletteFor(0);
    for (const paint of Object.values(palette)) expect(paint('error')).toBe('error');
  });

  it('colours whatever the environment of this process says', async () => {
    const { alarm, good } = await paletteFor(1);
    expect(alarm('error')).toBe('\u001b[31merror\u001b[39m');
    expect(good('fine')).toBe('\u001b[32mfine\u001b[39m');
  });
});
