import { useMemo } from 'react';
import { Button } from 'react-aria-components';
import { parseQuantity } from '../../units/index.js';
import { go } from '../app/route.js';
import { useSession } from '../app/session.js';
import { useForecast } from '../app/use-forecast.js';
import { useJob } from '../app/use-job.js';
import { tintOf } from '../model/library.js';
import { at } from '../model/paths.js';
import { Details } from './details.js';
import { SetupEntries } from './entries/index.js';
import { LineField } from './fields.js';
import { Figure } from './figure.js';
import { Headline } from './headline.js';
import { type Note, Notes, notesFor } from './notes.js';

const ENTRIES = ['part', 'substrate', 'bath', 'aim', 'steps', 'vessel', 'hook', 'anodes', 'supply'];

/** One job: the set-up in words on the left, what it will do on the right, one next action. */
export function JobPage({ id }: { id: string }) {
  const { choices, units } = useSession();
  const state = useJob(id);
  const { document } = state;
  const forecast = useForecast(state.job, document);
  const { answer, fresh, running } = forecast;

  const notes = useMemo<Note[]>(() => {
    const stops = forecast.problems.map((p): Note => ({ ...p, severity: 'stop' }));
    if (!fresh || !answer || stops.length) return stops;
    const { status } = answer.forecast.field;
    const unsolved: Note = {
      code: 'field-not-solved',
      path: '',
      message: `The field was not solved (${status}); do not use these numbers.`,
      hint: 'Change the set-up a little and work it out again.',
      severity: 'stop',
    };
    return [
      ...(status === 'converged' ? [] : [unsolved]),
      ...answer.forecast.refusals.map((p): Note => ({ ...p, severity: 'stop' })),
      ...answer.forecast.warnings.map((p): Note => ({ ...p, severity: 'warning' })),
    ];
  }, [forecast.problems, answer, fresh]);
  const homeless = useMemo(() => {
    const placed = new Set(notesFor(notes, ENTRIES));
    return notes.filter((n) => !placed.has(n));
  }, [notes]);

  if (!document)
    return (
      <main className="page">
        <p role={state.trouble ? 'alert' : 'status'}>{state.trouble?.message ?? 'Opening the job'}</p>
      </main>
    );
  const bath = choices.baths.find((b) => b.id === at(document, ['bath', 'record']));
  const asked = parseQuantity(at(document, ['aim', 'thickness']), 'length');
  const required = asked.ok ? asked.value : undefined;
  const part = parseQuantity(at(document, ['aim', 'share']) ?? '95 %', 'fraction');
  const share = part.ok ? part.value : 0.95;
  const tint = tintOf(bath?.metal);
  const refusedJob = notes.some((n) => n.severity === 'stop');

  return (
    <main className="page job" data-tint={tint}>
      <h1 className="hidden">{String(document.name ?? 'Job')}</h1>
      <div className="job-head">
        <LineField
          className="job-name"
          label="Job"
          value={String(document.name ?? '')}
          onCommit={(name) => state.set(['name'], name)}
        />
        <div className="job-actions">
          <Button className="button button-quiet" isDisabled={!state.job?.canUndo} onPress={state.undo}>
            Undo
          </Button>
          <Button className="button button-quiet" isDisabled={!state.job?.canRedo} onPress={state.redo}>
            Redo
          </Button>
          <span className="job-saved" role="status">
            {state.saving ? 'saving' : state.trouble ? 'not saved' : 'saved'}
          </span>
        </div>
      </div>
      {state.trouble ? <Notes notes={[{ ...state.trouble, severity: 'warning' }]} /> : null}
      <div className="spread">
        <section className="left" aria-label="Set-up">
          <h2>The set-up</h2>
          <SetupEntries document={document} notes={notes} set={state.set} edit={state.edit} />
          <NextAction
            running={running}
            fresh={fresh}
            quality={answer?.quality}
            refused={refusedJob}
            onRun={() => forecast.run('standard')}
            onStop={forecast.stop}
            onCard={() => go(`/job/${id}/card`)}
          />
        </section>
        <section className="right" aria-label="Forecast">
          <h2>What it will do</h2>
          <Notes notes={homeless} />
          {answer ? (
            <div className={fresh ? '' : 'stale'}>
              <Headline forecast={answer.forecast} share={share} />
            </div>
          ) : (
            <p className="waiting">
              {refusedJob
                ? 'Put right what is marked, and the numbers appear here.'
                : 'The numbers appear here in a moment.'}
            </p>
          )}
          <Figure preview={forecast.preview} answer={answer} fresh={fresh} required={required} tint={tint} />
          {answer && required !== undefined ? (
            <div className={fresh ? '' : 'stale'}>
              <Details answer={answer} required={required} />
            </div>
          ) : null}
          <p className="field-help">
            Thickness in {units.thickness === 'um' ? 'µm' : 'mil'}. Click a number to see where it comes from.
          </p>
        </section>
      </div>
    </main>
  );
}

/** The one thing to do next, always in the same place. */
function NextAction(props: {
  running: { fraction: number; stage: string; quality: string } | undefined;
  fresh: boolean;
  quality: string | undefined;
  refused: boolean;
  onRun(): void;
  onStop(): void;
  onCard(): void;
}) {
  const { running, fresh, quality, refused } = props;
  if (running) {
    const done = Math.round(running.fraction * 100);
    return (
      <div className="next">
        <div
          className="next-progress"
          role="progressbar"
          aria-label="Forecast"
          aria-valuemin={0}
          aria-valuemax={100}
          aria-valuenow={done}
        >
          <i style={{ width: `${Math.max(2, done)}%` }} />
        </div>
        <p className="next-line" role="status">
          {running.quality === 'draft' ? 'Drafting' : 'Working it out'}: {running.stage}
        </p>
        <Button className="button" onPress={props.onStop}>
          Stop
        </Button>
      </div>
    );
  }
  const settled = fresh && quality !== 'draft';
  return (
    <div className="next">
      {fresh && !refused ? (
        <Button className="button button-main" onPress={props.onCard}>
          Make the job card
        </Button>
      ) : (
        <Button className="button button-main" onPress={props.onRun} isDisabled={refused}>
          Work it out
        </Button>
      )}
      {fresh && !settled && !refused ? (
        <Button className="button button-quiet" onPress={props.onRun}>
          Settle the numbers first
        </Button>
      ) : null}
      <p className="next-line" role="status">
        {refused
          ? 'Something stands in the way; see the marks above.'
          : settled
            ? 'Settled: standard quality.'
            : fresh
              ? 'A draft: good for arranging. Settle it for the bench.'
              : 'The set-up has changed.'}
      </p>
    </div>
  );
}
