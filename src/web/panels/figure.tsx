import { useEffect, useMemo, useRef, useState } from 'react';
import { Button } from 'react-aria-components';
import { type Scale, scaleOf, text } from '../../job/index.js';
import { useSession } from '../app/session.js';
import type { ForecastAnswer, Preview } from '../engine/index.js';
import { BenchScene, type Focus, type SceneContent } from '../scene/index.js';
import { Switch } from './fields.js';
import { Legend } from './legend.js';

const LIQUID = { green: '#1f9c78', blue: '#2f7fd6', grey: '#8a98a3' };

/** What a key, or the button of the same name, does to the eye. */
const MOVES: Record<string, { turn: [number, number] } | { zoom: number }> = {
  ArrowLeft: { turn: [-0.15, 0] },
  ArrowRight: { turn: [0.15, 0] },
  ArrowUp: { turn: [0, 0.15] },
  ArrowDown: { turn: [0, -0.15] },
  '+': { zoom: 0.85 },
  '-': { zoom: 1.18 },
};

/** Scene contents of a forecast: the map on the part, everything else as drawn. */
function contentOf(answer: ForecastAnswer, preview: Preview | undefined): SceneContent {
  const { map, bodies } = answer;
  return {
    part: map,
    bodies: bodies.flatMap((b) => (b.role === 'vessel' ? [] : [{ ...b, role: b.role }])),
    ...(preview?.scene.vessel ? { vessel: preview.scene.vessel } : {}),
  };
}

/**
 * The picture: the set-up while it is arranged, the thickness map once there is a forecast. Turned by dragging, by
 * buttons, or by the arrow keys while one of its buttons has the focus.
 */
export function Figure(props: {
  preview: Preview | undefined;
  answer: ForecastAnswer | undefined;
  fresh: boolean;
  required: number | undefined;
  tint: keyof typeof LIQUID;
}) {
  const { units, dark } = useSession();
  const canvas = useRef<HTMLCanvasElement>(null);
  const scene = useRef<BenchScene | undefined>(undefined);
  const [marks, setMarks] = useState<{ letter: string; x: number; y: number; hidden: boolean }[]>([]);
  const [failed, setFailed] = useState(false);
  const [focus, setFocus] = useState<Focus>('set-up');
  const [spot, setSpot] = useState<string>();
  const [turning, setTurning] = useState(false);
  const { answer, preview, required } = props;
  const shown = props.fresh ? answer : undefined;
  const palette = useMemo(
    () => ({ ink: dark ? '#c9d3ce' : '#33403b', liquid: LIQUID[props.tint] }),
    [dark, props.tint],
  );
  const scale = useMemo<Scale | undefined>(() => shown && scaleOf(shown.forecast, units), [shown, units]);

  useEffect(() => {
    const element = canvas.current!;
    try {
      scene.current = new BenchScene(element, { ink: '#33403b', liquid: LIQUID.green }, { marks: setMarks });
    } catch {
      setFailed(true);
      return;
    }
    const watch = new ResizeObserver(() => scene.current?.resize());
    watch.observe(element);
    return () => {
      watch.disconnect();
      scene.current?.dispose();
      scene.current = undefined;
    };
  }, []);

  useEffect(() => scene.current?.repaint(palette), [palette]);

  useEffect(() => {
    const content = shown ? contentOf(shown, preview) : preview?.scene;
    if (content) scene.current?.show(content);
  }, [shown, preview]);

  useEffect(() => {
    scene.current?.colourBy(
      scale
        ? {
            bands: scale.colours.length,
            start: scale.edges[0]!,
            step: scale.edges[1]! - scale.edges[0]!,
            required: required ?? 0,
          }
        : { bands: 0, start: 0, step: 1, required: 0 },
    );
    scene.current?.marks(
      shown
        ? [
            { letter: 'A', position: shown.forecast.thinnest.position },
            { letter: 'B', position: shown.forecast.thickest.position },
          ]
        : [],
    );
  }, [scale, required, shown]);

  const hasForecast = shown !== undefined;
  useEffect(() => setFocus(hasForecast ? 'part' : 'set-up'), [hasForecast]);
  useEffect(() => scene.current?.lookAt(focus), [focus]);

  useEffect(() => {
    if (!turning) return;
    const timer = setInterval(() => scene.current?.turn(0.012, 0), 33);
    return () => clearInterval(timer);
  }, [turning]);

  const drag = useRef<{ x: number; y: number } | undefined>(undefined);
  const keys = (key: string): boolean => {
    const move = MOVES[key];
    if (!move || !scene.current) return false;
    if ('zoom' in move) scene.current.zoom(move.zoom);
    else scene.current.turn(...move.turn);
    return true;
  };
  const what = shown ? 'Thickness of the deposit on the part' : 'The set-up in its vessel';

  return (
    <figure className="figure">
      <div className="figure-frame">
        <canvas
          ref={canvas}
          className="figure-canvas"
          role="img"
          aria-label={`${what}, in three dimensions`}
          onPointerDown={(e) => {
            drag.current = { x: e.clientX, y: e.clientY };
            e.currentTarget.setPointerCapture(e.pointerId);
          }}
          onPointerMove={(e) => {
            const box = e.currentTarget.getBoundingClientRect();
            if (drag.current) {
              scene.current?.turn((drag.current.x - e.clientX) * 0.008, (e.clientY - drag.current.y) * 0.008);
              drag.current = { x: e.clientX, y: e.clientY };
              return;
            }
            const hit = scene.current?.probe(e.clientX - box.left, e.clientY - box.top);
            setSpot(hit && text(hit.thickness, units.thickness, 'length'));
          }}
          onPointerUp={() => {
            drag.current = undefined;
          }}
          onPointerLeave={() => setSpot(undefined)}
          onWheel={(e) => e.ctrlKey && scene.current?.zoom(e.deltaY > 0 ? 1.1 : 0.9)}
        />
        {failed ? (
          <p className="figure-failed">This browser shows no three-dimensional pictures (WebGL is off).</p>
        ) : null}
        {marks.map((m) => (
          <span
            key={m.letter}
            className={`mark ${m.hidden ? 'mark-hidden' : ''}`}
            style={{ transform: `translate(${m.x}px, ${m.y}px)` }}
            aria-hidden="true"
          >
            <b>{m.letter}</b>
          </span>
        ))}
        {spot ? <output className="figure-spot">{spot}</output> : null}
      </div>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: keys pressed on its buttons bubble up here */}
      <div
        className="figure-tools"
        onKeyDown={(e) => {
          if (keys(e.key)) e.preventDefault();
        }}
      >
        <Switch
          label="Look at"
          value={focus}
          options={[
            { id: 'part', label: 'part' },
            { id: 'set-up', label: 'set-up' },
          ]}
          onChange={(f) => setFocus(f as Focus)}
        />
        <span className="figure-buttons">
          <ToolButton label="Turn left" sign="←" onPress={() => keys('ArrowLeft')} />
          <ToolButton label="Turn right" sign="→" onPress={() => keys('ArrowRight')} />
          <ToolButton label="Look from higher" sign="↑" onPress={() => keys('ArrowUp')} />
          <ToolButton label="Look from lower" sign="↓" onPress={() => keys('ArrowDown')} />
          <ToolButton label="Closer" sign="+" onPress={() => keys('+')} />
          <ToolButton label="Further away" sign="−" onPress={() => keys('-')} />
          <Button className="tool tool-wide" onPress={() => setTurning(!turning)}>
            {turning ? 'hold still' : 'let it turn'}
          </Button>
        </span>
      </div>
      {shown && scale ? (
        <Legend
          scale={scale}
          required={required}
          burnt={shown.forecast.burnedArea > 0}
          bare={shown.forecast.bareArea > 0}
        />
      ) : null}
      <figcaption>
        {what}.{' '}
        {shown ? (
          <>
            <b>A</b> is the thinnest spot,{' '}
            {text(shown.forecast.thinnest.thickness, units.thickness, 'length')}; <b>B</b> the thickest,{' '}
            {text(shown.forecast.thickest.thickness, units.thickness, 'length')}.
          </>
        ) : null}
      </figcaption>
    </figure>
  );
}

function ToolButton(props: { label: string; sign: string; onPress(): void }) {
  return (
    <Button className="tool" aria-label={props.label} onPress={props.onPress}>
      <span aria-hidden="true">{props.sign}</span>
    </Button>
  );
}
