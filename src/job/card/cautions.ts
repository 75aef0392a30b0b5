import { GAS, plain } from '../../units/index.js';
import type { CardInput } from './content.js';

export interface Caution {
  title: string;
  text: string;
}

/** Lower flammable limit of hydrogen in air, 4 % by volume (safety data of the gas; the usual handbook value). */
const HYDROGEN_LOWER_LIMIT = 0.04;
/** A quarter of that limit is the level commonly kept below in workplaces. */
const KEEP_BELOW = HYDROGEN_LOWER_LIMIT / 4;
const ROOM = 293.15;
const PRESSURE = 101_325;
const NICKEL = /^(ni|nickel)\b/i;

/**
 * What can hurt on this job, with its own numbers. Short sentences, most urgent first. Advice is common practice of the
 * trade; it defers to local codes and licensed practice, which the card says at its foot.
 */
export function cautions({ forecast, bath, job }: CardInput): Caution[] {
  const out: Caution[] = [];
  const chlorine = forecast.anodes.reduce((sum, a) => sum + a.chlorine, 0);
  if (chlorine > 1e-6) {
    const litres = (chlorine * GAS * ROOM * 1000) / PRESSURE;
    out.push({
      title: 'Chlorine',
      text:
        `The anodes are driven beyond what they can dissolve and would make about ${plain(litres, 2)} L of chlorine. ` +
        'Lower the current or add anode before you start. At the smell of bleach: current off, leave the room, air it.',
    });
  }
  out.push({ title: 'Hydrogen', text: hydrogenText(forecast.hydrogen.volumePerHour) });
  if (NICKEL.test(forecast.deposit) || forecast.anodes.some((a) => NICKEL.test(a.metal)))
    out.push({
      title: 'Nickel',
      text:
        'Salts and mist are poisonous and cause cancer when breathed; skin can become allergic for life. Nitrile gloves, goggles, ' +
        'no air bubbling in a warm bath without a lid or extraction, wash before you eat.',
    });
  else
    out.push({
      title: 'Bath',
      text: 'Gloves and goggles. Acid goes into water, never water into acid. Running water within reach for eyes and skin.',
    });
  if ((bath.temperature ?? 0) > 313)
    out.push({
      title: 'Heat',
      text: 'Warm bath: a glass heater that runs dry starts a fire. Float switch or a second pair of eyes, and never leave it.',
    });
  out.push({
    title: 'Electricity',
    text: 'Isolated, current-limited supply below 60 V; heaters behind a 30 mA residual-current breaker; a fuse in each lead.',
  });
  if (forecast.anodes.some((a) => /stainless/i.test(a.metal)) || job.part.substrate.includes('stainless'))
    out.push({
      title: 'Stainless steel',
      text: 'Never as an anode: it dissolves to chromium(VI). If the leads are swapped by mistake, stop and hand the bath in.',
    });
  out.push({
    title: 'Waste',
    text: 'Nothing down the drain, rinses included. Collect, label with contents and date, hand in where your local code says.',
  });
  return out;
}

/** How much hydrogen and how much air carries it off; `perHour` in [m3/h] at 20 C. */
function hydrogenText(perHour: number): string {
  const rest = 'No lid that seals, no flame, no sparks at the clips: switch off before you unclip.';
  // A millilitre an hour is less than a person breathes out.
  if (perHour < 1e-6)
    return `Next to none at this current, but an anode or part driven too hard makes it. ${rest}`;
  const amount = perHour < 1e-4 ? `${plain(perHour * 1e6, 2)} mL` : `${plain(perHour * 1e3, 2)} L`;
  const air = perHour / KEEP_BELOW;
  if (air < 0.05) return `About ${amount} an hour, which any open room carries off. ${rest}`;
  return `About ${amount} an hour: ${plain(air, 2)} m³ of fresh air an hour keeps it below a quarter of what burns. ${rest}`;
}
