import { useEffect, useState } from 'react';
import { legendDrawing, type Scale, toSvg } from '../../job/index.js';
import { useSession } from '../app/session.js';

const narrow = window.matchMedia('(max-width: 34rem)');

/** True on a phone's width, where the scale is drawn shorter so that its type stays legible. */
function useNarrow(): boolean {
  const [now, setNow] = useState(narrow.matches);
  useEffect(() => {
    const hear = () => setNow(narrow.matches);
    narrow.addEventListener('change', hear);
    return () => narrow.removeEventListener('change', hear);
  }, []);
  return now;
}

/** The colour scale, the same drawing as on the job card, in inks that follow the theme. */
export function Legend(props: { scale: Scale; required: number | undefined; burnt: boolean; bare: boolean }) {
  const { units } = useSession();
  const { required } = props;
  const drawing = legendDrawing(props.scale, units, {
    width: useNarrow() ? 66 : 110,
    burnt: props.burnt,
    bare: props.bare,
    ...(required === undefined ? {} : { required }),
  });
  return <Drawing svg={toSvg(drawing, 'legend')} className="legend" />;
}

/** A drawing of the card's own making set into the page; its text is escaped where it is made. */
export function Drawing({ svg, className }: { svg: string; className: string }) {
  // biome-ignore lint/security/noDangerouslySetInnerHtml: markup from our own renderer, all text escaped
  return <div className={className} dangerouslySetInnerHTML={{ __html: svg }} />;
}
