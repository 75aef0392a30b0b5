import { useMemo } from 'react';
import { bandOf, given, join, massText, roundStep, scaleOf, text } from '../../job/index.js';
import { plain, toSI } from '../../units/index.js';
import { useSession } from '../app/session.js';
import type { ForecastAnswer } from '../engine/index.js';
import { sentence } from '../model/words.js';
import { histogram, shareAbove } from '../plots/histogram.js';

/** What stands behind the headline: spread of thickness, where the volts go, what limits it, the anodes. */
export function Details({ answer, required }: { answer: ForecastAnswer; required: number }) {
  return (
    <div className="details">
      <Spread answer={answer} required={required} />
      <Volts answer={answer} />
      <Limits answer={answer} />
      <Anodes answer={answer} />
      <Trust answer={answer} />
    </div>
  );
}

const BARS = 24;

/** Round numbers from zero to `top`, about six of them. */
const ticks = (top: number): number[] => {
  const step = roundStep(top, 6);
  return Array.from({ length: Math.floor(top / step + 1e-9) + 1 }, (_, i) => i * step);
};

/** Histogram of thickness over the significant surface, with the requirement as a line through it. */
function Spread({ answer, required }: { answer: ForecastAnswer; required: number }) {
  const { units } = useSession();
  const unit = toSI(1, units.thickness, 'length')!;
  const { scale, bars } = useMemo(() => {
    const scale = scaleOf(answer.forecast, units);
    const top = Math.max(scale.edges.at(-1)!, required * 1.2);
    return { scale, bars: histogram(answer.map, top, BARS) };
  }, [answer, required, units]);
  const [width, height] = [360, 140];
  const tallest = Math.max(...bars.map((b) => b.share), 1e-9);
  const top = bars[BARS - 1]!.low + (bars[1]!.low - bars[0]!.low);
  const x = (t: number) => (t / top) * width;
  const good = shareAbove(bars, required);
  const asked = given(required, units.thickness, 'length');
  return (
    <section className="detail">
      <h3>How the thickness is spread</h3>
      <svg
        viewBox={`0 0 ${width} ${height + 30}`}
        className="plot"
        role="img"
        aria-label={`${Math.round(good * 100)} % of the surface that counts has at least ${asked}`}
      >
        {bars.map((bar, i) => (
          <rect
            key={bar.low}
            x={(i * width) / BARS + 0.5}
            width={width / BARS - 1}
            y={height - (bar.share / tallest) * (height - 18)}
            height={(bar.share / tallest) * (height - 18)}
            fill={scale.colours[bandOf(scale, bar.low + top / BARS / 2)]}
            className="plot-bar"
          />
        ))}
        <line x1="0" x2={width} y1={height} y2={height} className="plot-axis" />
        {ticks(top / unit)
          .map((tick) => tick * unit)
          .map((edge) => (
            <text
              key={edge}
              x={x(edge)}
              y={height + 16}
              className="plot-tick"
              textAnchor={edge === 0 ? 'start' : 'middle'}
            >
              {Number((edge / unit).toPrecision(3))}
            </text>
          ))}
        <line x1={x(required)} x2={x(required)} y1="0" y2={height} className="plot-asked" />
        <text
          x={x(required) + (required > top * 0.7 ? -6 : 6)}
          y="12"
          className="plot-label"
          textAnchor={required > top * 0.7 ? 'end' : 'start'}
        >
          asked {asked}
        </text>
      </svg>
      <p>
        <strong>{Math.round(good * 100)} %</strong> of the surface that counts gets at least {asked}.
      </p>
    </section>
  );
}

/** Hundredths of a volt, without a sign on nothing. */
const volts = (value: number): string =>
  Math.abs(value) < 0.005 ? '0.00' : value.toFixed(2).replace('-', '−');

function Volts({ answer }: { answer: ForecastAnswer }) {
  const { voltageParts, cellVoltage } = answer.forecast;
  const largest = Math.max(...voltageParts.map((p) => Math.abs(p.value)), 1e-9);
  return (
    <section className="detail">
      <h3>Where the volts go</h3>
      <ul className="bars">
        {voltageParts.map((p) => (
          <li key={p.name}>
            <span className="bars-name">{p.name}</span>
            <span className="bars-track" aria-hidden="true">
              <i
                className={p.value < 0 ? 'bars-back' : ''}
                style={{ width: `${(Math.abs(p.value) / largest) * 100}%` }}
              />
            </span>
            <span className="bars-value">{volts(p.value)} V</span>
          </li>
        ))}
        <li className="bars-sum">
          <span className="bars-name">between the clips</span>
          <span />
          <span className="bars-value">{volts(cellVoltage)} V</span>
        </li>
      </ul>
    </section>
  );
}

function Limits({ answer }: { answer: ForecastAnswer }) {
  const { limits } = answer.forecast;
  if (limits.length === 0) return null;
  return (
    <section className="detail">
      <h3>What keeps it from going faster</h3>
      <ol className="limits">
        {limits.slice(0, 4).map((l) => (
          <li key={l.what}>
            <strong>{l.what}</strong>:{' '}
            {l.room < 1.02 ? 'at the limit' : `room for ${plain(l.room, 2)} times the current`}.{' '}
            {sentence(l.explanation)}
          </li>
        ))}
      </ol>
    </section>
  );
}

function Anodes({ answer }: { answer: ForecastAnswer }) {
  const { units } = useSession();
  return (
    <section className="detail">
      <h3>How the anodes wear</h3>
      {answer.forecast.anodes.map((a) => (
        <p key={a.name}>
          <strong>{a.name}</strong>: {text(a.area, units.area, 'area')} in the liquid,{' '}
          {text(a.meanCurrentDensity, units.currentDensity, 'currentDensity')} on average and{' '}
          {text(a.peakCurrentDensity, units.currentDensity, 'currentDensity')} at most.{' '}
          {Number.isFinite(a.massLost)
            ? `Loses ${join(massText(a.massLost))}, ${text(a.deepestLoss, units.thickness, 'length')} at its most worn; lasts about ${a.runsLeft > 999 ? 'a thousand or more' : Math.floor(a.runsLeft)} such runs.`
            : 'Does not dissolve.'}{' '}
          {a.passiveShare > 0.01
            ? `${Math.round(a.passiveShare * 100)} % of it is driven beyond what it can dissolve.`
            : ''}
        </p>
      ))}
    </section>
  );
}

function Trust({ answer }: { answer: ForecastAnswer }) {
  const { field, records } = answer.forecast;
  const share = (v: number) => `${plain(v * 100, 2)} %`;
  const outside = records.filter((r) => r.outsideRange);
  return (
    <section className="detail">
      <h3>How far to trust it</h3>
      <p>
        Solved on {field.panels.toLocaleString('en')} panels at {field.quality} quality, {field.status}.{' '}
        {Number.isFinite(field.error.thin)
          ? `The mesh itself adds about ${share(field.error.resistance)} to the resistance, ${share(field.error.thin)} to the thin and ${share(field.error.thick)} to the thick places.`
          : 'A draft has nothing finer to be compared with: settle it to see what the mesh adds.'}{' '}
        The ranges above hold what is not known about the bath.
      </p>
      <details>
        <summary>
          {records.length} record{records.length === 1 ? '' : 's'} used
          {outside.length ? `, ${outside.length} outside the range they are good for` : ''}
        </summary>
        <ul className="records">
          {records.map((r) => (
            <li key={r.id}>
              <strong>{r.title}</strong>, {r.kind}. {r.source}
              {r.outsideRange ? <em> Outside its range: {r.outsideRange}</em> : null}
            </li>
          ))}
        </ul>
      </details>
    </section>
  );
}
