import { describe, expect, it } from 'vitest';
import { prettyUnits, sentence } from './words.js';

describe('sentences', () => {
  it('print units as people do, only after numbers', () => {
    expect(sentence('the mean is 3.1 A/dm2')).toBe('The mean is 3.1 A/dm².');
    expect(sentence('Done!')).toBe('Done!');
    expect(prettyUnits('10 um at 25 C, C is carbon; 2 A/dm2, 3 Cu')).toBe(
      '10 µm at 25 °C, C is carbon; 2 A/dm², 3 Cu',
    );
  });
});
