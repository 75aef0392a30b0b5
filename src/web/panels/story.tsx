import { Button, Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import type { Band, Forecast } from '../../job/index.js';
import { join, unitText } from '../../job/index.js';
import { plain } from '../../units/index.js';
import type { Figure } from './headline.js';

/** Where a number comes from: meaning, formula, inputs, what makes its band, the records with their sources. */
export function StoryDialog(props: { forecast: Forecast; figure: Figure | undefined; onClose(): void }) {
  const { forecast, figure } = props;
  return (
    <ModalOverlay
      className="overlay"
      isDismissable
      isOpen={figure !== undefined}
      onOpenChange={(open) => !open && props.onClose()}
    >
      <Modal className="modal">
        <Dialog className="dialog">
          {figure ? <StoryOf forecast={forecast} figure={figure} onClose={props.onClose} /> : null}
        </Dialog>
      </Modal>
    </ModalOverlay>
  );
}

function StoryOf({ forecast, figure, onClose }: { forecast: Forecast; figure: Figure; onClose(): void }) {
  const story = forecast.story[figure.key];
  const band = (forecast.band as Record<string, Band | undefined>)[figure.key];
  const used = new Set(
    [...(story?.inputs ?? []).map((i) => i.record), ...(band?.shares ?? []).map((s) => s.record)].filter(
      Boolean,
    ),
  );
  const records = forecast.records.filter((r) => used.has(r.id));
  return (
    <>
      <Heading slot="title" className="dialog-title">
        {figure.label}: {join(figure.value)}
      </Heading>
      {story ? (
        <>
          <p>{story.meaning}</p>
          <p className="formula">{story.formula}</p>
          <table className="table">
            <thead>
              <tr>
                <th scope="col">With</th>
                <th scope="col">Value</th>
                <th scope="col">Record</th>
              </tr>
            </thead>
            <tbody>
              {story.inputs.map((input) => (
                <tr key={input.name}>
                  <th scope="row">{input.name}</th>
                  <td>
                    {plain(input.value, 4)} {unitText(input.unit)}
                  </td>
                  <td>{input.record ?? 'from the set-up'}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      ) : (
        <p>This number follows from the others on the page.</p>
      )}
      {band ? (
        <>
          <h3>What makes it uncertain</h3>
          <p>
            {figure.band}: {Math.round(band.level * 100)} of 100 such jobs should fall in this range.
          </p>
          <ul className="shares">
            {band.shares.map((s) => (
              <li key={s.input}>
                <span>{s.input}</span>
                <span className="share-bar" aria-hidden="true">
                  <i style={{ width: `${Math.max(1, s.share * 100)}%` }} />
                </span>
                <span>{Math.round(s.share * 100)} %</span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {records.length ? (
        <>
          <h3>Records</h3>
          <ul className="records">
            {records.map((r) => (
              <li key={r.id}>
                <strong>{r.title}</strong>, {r.kind}. {r.source}
                {r.outsideRange ? <em> Used outside its range: {r.outsideRange}</em> : null}
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {story ? (
        <p className="field-help">
          In full:{' '}
          <a href={story.theory} target="_blank" rel="noreferrer">
            {story.theory}
          </a>
        </p>
      ) : null}
      <Button className="button" onPress={onClose} slot="close">
        Close
      </Button>
    </>
  );
}
