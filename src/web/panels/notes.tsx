import type { Problem } from '../../units/index.js';

export interface Note extends Problem {
  severity: 'stop' | 'warning';
}

/** What is wrong or worth knowing, beside what caused it. The mark and the word say which, not the colour alone. */
export function Notes({ notes }: { notes: Note[] }) {
  if (notes.length === 0) return null;
  return (
    <ul className="notes">
      {notes.map((note) => (
        <li key={`${note.code} ${note.path} ${note.message}`} className={`note note-${note.severity}`}>
          <strong>{note.severity === 'stop' ? 'Stop. ' : 'Mind. '}</strong>
          {note.message}
          {note.hint ? <span className="note-hint"> {note.hint}</span> : null}
        </li>
      ))}
    </ul>
  );
}

/** Notes whose path begins with one of the names; `taken` collects those that found a place. */
export function notesFor(notes: Note[], names: string[]): Note[] {
  return notes.filter((n) =>
    names.some((name) => n.path === name || n.path.startsWith(`${name}.`) || n.path.startsWith(`${name}[`)),
  );
}
