import { useState } from 'react';
import { Button } from 'react-aria-components';
import type { Forecast } from '../../job/index.js';
import {
  chargeText,
  clock,
  currentText,
  join,
  massText,
  type Printed,
  printed,
  range,
  text,
} from '../../job/index.js';
import { useSession } from '../app/session.js';
import { quantileAt } from '../plots/quantiles.js';
import { StoryDialog } from './story.js';

export interface Figure {
  /** Key of the forecast's stories and bands. */
  key: string;
  label: string;
  value: Printed;
  band: string;
}

/** The five numbers of a forecast; each opens to where it comes from. */
export function figuresOf(f: Forecast, thickness: 'um' | 'mil' | 'microinch', share: number): Figure[] {
  const { band } = f;
  // Before the what-ifs are done a figure has no band yet.
  const known = (text: string): string => (band.thickness.shares.length > 0 ? text : 'range follows');
  return [
    {
      key: 'current',
      label: 'current',
      value: currentText(f.current),
      band: known(range(band.current.low, band.current.high, f.current < 0.1 ? 'mA' : 'A', 'current')),
    },
    {
      key: 'cellVoltage',
      label: 'volts',
      value: printed(f.cellVoltage, 'V', 'voltage'),
      band: known(range(band.cellVoltage.low, band.cellVoltage.high, 'V', 'voltage')),
    },
    {
      key: 'duration',
      label: 'time',
      value: clock(f.duration),
      band: known(`${join(clock(band.duration.low))} to ${join(clock(band.duration.high))}`),
    },
    { key: 'charge', label: 'charge', value: chargeText(f.charge), band: 'stop here' },
    {
      key: 'depositMass',
      label: `${f.deposit} laid down`,
      value: massText(f.depositMass),
      band: known(`${join(massText(band.depositMass.low))} to ${join(massText(band.depositMass.high))}`),
    },
    {
      key: 'thickness',
      label: `reached on ${Math.round(share * 100)} %`,
      value: printed(quantileAt(f.thickness.significant.quantiles, 1 - share), thickness, 'length'),
      band: known(range(band.thickness.low, band.thickness.high, thickness, 'length')),
    },
  ];
}

export function Headline({ forecast, share }: { forecast: Forecast; share: number }) {
  const { units } = useSession();
  const [told, setTold] = useState<Figure>();
  const { thickness } = forecast;
  return (
    <section className="headline" aria-label="Forecast in numbers">
      <div className="numbers">
        {figuresOf(forecast, units.thickness, share).map((figure) => (
          <Button
            key={figure.key}
            className="number"
            onPress={() => setTold(figure)}
            aria-label={`${figure.label}: ${join(figure.value)}, ${figure.band}. Where does it come from?`}
          >
            <span className="number-label">{figure.label}</span>
            <span className="number-value">
              {figure.value.number}
              <small>{figure.value.unit}</small>
            </span>
            <span className="number-band">{figure.band}</span>
          </Button>
        ))}
      </div>
      <p className="headline-line">
        On the surface that counts: {text(thickness.significant.min, units.thickness, 'length')} at the
        thinnest, {text(thickness.significant.mean, units.thickness, 'length')} on average,{' '}
        {text(thickness.max, units.thickness, 'length')} at the thickest.{' '}
        {forecast.burnedArea > 0
          ? `${text(forecast.burnedArea, units.area, 'area', 2)} would burn. `
          : 'Nothing burns. '}
        {forecast.bareArea > 0
          ? `${text(forecast.bareArea, units.area, 'area', 2)} would stay bare.`
          : 'Nothing stays bare.'}
      </p>
      <StoryDialog forecast={forecast} figure={told} onClose={() => setTold(undefined)} />
    </section>
  );
}
