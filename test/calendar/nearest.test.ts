import { describe, expect, it } from 'vitest';
import { nearest } from '../../src/calendar/nearest.js';

describe('nearest', () => {
  const names = ['Europe/London', 'Europe/Lisbon', 'America/New_York', 'Asia/Tokyo', 'UTC'];
  it.each([
    { text: 'Europe/Lodnon', near: ['Europe/London'] },
    { text: 'europe/london', near: ['Europe/London'] },
    { text: 'Tokio', near: ['Asia/Tokyo'] },
    { text: 'UTV', near: ['UTC'] },
    { text: 'Narnia', near: [] },
    { text: '', near: [] },
  ])('$text: $near', ({ text, near }) => {
    expect(nearest(text, names)).toEqual(near);
  });

  it('gives those that are equally near, no more than asked for', () => {
    const animals = ['bat', 'cow', 'hat', 'rat', 'chat'];
    expect(nearest('lat', animals)).toEqual(['bat', 'hat', 'rat']);
    expect(nearest('lat', animals, 2)).toEqual(['bat', 'hat']);
    expect(nearest('Rat', animals)).toEqual(['rat']);
  });

  it('has nothing where there are no names', () => {
    expect(nearest('cat', [])).toEqual([]);
  });
});
