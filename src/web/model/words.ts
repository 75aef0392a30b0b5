import { unitText } from '../../job/index.js';

/** Text from the computing side as a printed sentence: capital first, units as people print them, a full stop. */
export function sentence(text: string): string {
  const printed = prettyUnits(text.trim());
  const whole = printed.charAt(0).toUpperCase() + printed.slice(1);
  return /[.!?]$/.test(whole) ? whole : `${whole}.`;
}

/** `3.1 A/dm2` as `3.1 A/dm²`, `8 um` as `8 µm`; only after a number. */
export const prettyUnits = (text: string): string =>
  text.replace(
    /(\d) (um|A\/dm2|A\/ft2|A\/m2|cm2|dm2|m2|m3|C|F)(?![\w/])/g,
    (_, digit: string, unit: string) => `${digit} ${unitText(unit)}`,
  );
