import { describe, expect, it } from 'vitest';
import { fixtureBodies, fixtureForecast, fixtureMap } from '../../../test/fixtures/forecast.js';
import { fixtureJob } from '../../../test/fixtures/job.js';
import { buildCard, type CardInput, cardHtml, INCH, METRIC, pictureSvg } from './index.js';

const input = (): CardInput => ({
  job: fixtureJob(),
  forecast: fixtureForecast(),
  bath: { title: 'Watts nickel', temperature: 323.15, agitation: 'gentle' },
  units: METRIC,
});
const titles = (i: CardInput) => buildCard(i).cautions.map((c) => c.title);

describe('the job card', () => {
  it('puts the settings of a constant-current step first', () => {
    const card = buildCard(input());
    expect(card.settings.map((s) => `${s.label} ${s.value.number} ${s.value.unit}`)).toEqual([
      'set current 0.182 A',
      'volt limit 3.3 V',
      'time 49 min',
      'stop at charge 0.149 Ah',
    ]);
    expect(card.stop).toContain('0.149 Ah');
    expect(card.watch.rows.map((r) => r.at)).toEqual(['1 min', '5 min', 'end, 49 min']);
    expect(card.watch.rows[0]!.expected).toBe('2.1 to 2.8 V');
  });

  it('sets volts where the job sets volts', () => {
    const given = input();
    given.job.steps = [{ name: 'plate', drive: { voltage: 2.42 } }];
    expect(buildCard(given).settings[0]).toMatchObject({ label: 'set volts', value: { number: '2.42' } });
  });

  it('gives each step its own numbers and scales the expected volts with the step', () => {
    const given = input();
    const [plate] = given.forecast.steps;
    given.job.steps = [{ name: 'strike' }, { name: 'plate' }];
    given.forecast.steps = [
      { ...plate!, name: 'strike', duration: 60, current: 0.364, cellVoltage: 4.84 },
      plate!,
    ];
    const card = buildCard(given);
    expect(card.settings.map((s) => s.label)).toContain('1. strike: set current');
    expect(card.watch.rows[0]!.expected).toBe('4.2 to 5.6 V');
    expect(card.watch.rows[1]!.expected).toBe('2.1 to 2.8 V');
  });

  it('shows no settings when the job is refused', () => {
    const given = input();
    given.forecast.refusals = [
      { code: 'bath-refused', path: 'bath', message: 'No <cyanide> here.', hint: 'A licensed shop.' },
    ];
    const html = cardHtml(buildCard(given));
    expect(html).toContain('Do not run this job');
    expect(html).toContain('No &lt;cyanide&gt; here.');
    expect(html).not.toContain('set current');
  });

  it('gives no settings when the field was not solved, and says when it is only a draft', () => {
    const given = input();
    expect(buildCard(given).subtitle).toMatch(/A draft/);
    given.forecast.field.quality = 'standard';
    expect(buildCard(given).subtitle).not.toMatch(/draft/);
    given.forecast.field.status = 'stalled';
    expect(cardHtml(buildCard(given))).toMatch(/Do not run this job.*not solved \(stalled\)/);
  });

  it('warns of chlorine before anything else, of heat when warm, of nickel when there is some', () => {
    expect(titles(input()).slice(0, 2)).toEqual(['Hydrogen', 'Nickel']);
    const given = input();
    given.forecast.anodes[0]!.chlorine = 0.01;
    const [first] = buildCard(given).cautions;
    // 0.01 mol of gas at 20 C and 1 atm fill 0.01 * 24.055 L (molar volume of an ideal gas).
    expect(first).toMatchObject({ title: 'Chlorine' });
    expect(first!.text).toContain('about 0.24 L');
    expect(titles({ ...given, bath: { title: 'cold', temperature: 293 } })).not.toContain('Heat');
  });

  it('says how much fresh air a strong current asks for', () => {
    const given = input();
    // 2 A all to hydrogen is 0.9 L/h; the trade note asks 0.09 m3/h of fresh air to stay at 1 %.
    given.forecast.hydrogen.volumePerHour = 0.9e-3;
    const hydrogen = buildCard(given).cautions.find((c) => c.title === 'Hydrogen')!;
    expect(hydrogen.text).toContain('0.90 L');
    expect(hydrogen.text).toContain('0.090 m³');
  });

  it('prints in the units of the person and draws what it has', () => {
    const card = buildCard({ ...input(), units: INCH, map: fixtureMap(), bodies: fixtureBodies() });
    expect(card.subtitle).toContain('0.315 mil');
    expect(card.setup.find((e) => e.label === 'Bath')!.value).toContain('122 °F');
    expect(Object.keys(card.drawings).sort()).toEqual(['back', 'front', 'legend', 'setup']);
    expect(pictureSvg(card)).toMatch(/^<svg .*<svg x="0" .*picture-map/);
    expect(Object.keys(buildCard(input()).drawings)).toEqual([]);
    expect(pictureSvg(buildCard(input()))).toBeUndefined();
  });
});
