import type { ReactNode } from 'react';
import { Button, Disclosure, DisclosurePanel, Heading } from 'react-aria-components';
import { type Note, Notes } from './notes.js';

/** One entry of the job: what it is, what was chosen, and, opened, the fields to change it. */
export function Entry(props: {
  id: string;
  title: string;
  summary: ReactNode;
  notes: Note[];
  open: boolean;
  onOpen(open: boolean): void;
  children: ReactNode;
}) {
  return (
    <Disclosure className="entry" isExpanded={props.open} onExpandedChange={props.onOpen} id={props.id}>
      <Heading level={3} className="entry-head">
        <Button slot="trigger" className="entry-button">
          <span className="entry-title">{props.title}</span>
          <span className="entry-summary">{props.summary}</span>
          <span className="entry-change" aria-hidden="true">
            {props.open ? 'close' : 'change'}
          </span>
        </Button>
      </Heading>
      <Notes notes={props.notes} />
      <DisclosurePanel className="entry-panel">
        <div className="entry-fields">{props.children}</div>
      </DisclosurePanel>
    </Disclosure>
  );
}
