import { useEffect, useMemo, useRef, useState } from 'react';
import { Button, Link } from 'react-aria-components';
import { buildCard, CARD_STYLE, cardMarkup, readJob } from '../../job/index.js';
import { book } from '../app/book.js';
import { useSession } from '../app/session.js';
import { useForecast } from '../app/use-forecast.js';
import { useJob } from '../app/use-job.js';
import { Notes } from './notes.js';

const today = () => new Intl.DateTimeFormat('en-GB', { dateStyle: 'long' }).format(new Date());

/** The job card as it prints, with the buttons that print it or save it as PDF. */
export function CardPage({ id }: { id: string }) {
  const { units } = useSession();
  const state = useJob(id);
  const { answer, fresh, running, problems } = useForecast(state.job, state.document);
  const [trouble, setTrouble] = useState('');
  const card = useMemo(() => {
    if (!answer?.banded || !fresh) return undefined;
    const job = readJob(answer.document);
    if (!job.ok) return undefined;
    return buildCard({
      job: job.value,
      forecast: answer.forecast,
      map: answer.map,
      bodies: answer.bodies,
      units,
      date: today(),
      bath: answer.bath,
    });
  }, [answer, fresh, units]);

  const save = async () => {
    try {
      const url = URL.createObjectURL(await book.cardPdf(card));
      const link = document.createElement('a');
      link.href = url;
      link.download = `${card!.title}, job card.pdf`;
      link.click();
      setTimeout(() => URL.revokeObjectURL(url), 10_000);
    } catch (error) {
      setTrouble((error as Error).message);
    }
  };

  return (
    <main className="page card-page">
      <div className="card-tools">
        <Link className="link" href={`#/job/${id}`}>
          Back to the job
        </Link>
        <Button className="button button-main" isDisabled={!card} onPress={() => window.print()}>
          Print
        </Button>
        <Button className="button" isDisabled={!card} onPress={() => void save()}>
          Save as PDF
        </Button>
        <p role="status" className="field-help">
          {running ? `${running.stage}, ${Math.round(running.fraction * 100)} %` : ''}
        </p>
      </div>
      <h1 className="hidden">Job card</h1>
      {trouble ? <p role="alert">{trouble}</p> : null}
      <Notes notes={problems.map((p) => ({ ...p, severity: 'stop' }))} />
      {card ? <CardView markup={cardMarkup(card)} /> : <p className="waiting">Setting the card.</p>}
    </main>
  );
}

/** The card's own markup and style, kept apart from the page's by a shadow root. */
function CardView({ markup }: { markup: string }) {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const root = host.current!.shadowRoot ?? host.current!.attachShadow({ mode: 'open' });
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(CARD_STYLE);
    root.adoptedStyleSheets = [sheet];
    root.innerHTML = markup;
  }, [markup]);
  return <div ref={host} className="card-host" />;
}
