import { createContext, type ReactNode, useContext, useEffect, useMemo, useState } from 'react';
import { INCH, METRIC, type UnitChoice } from '../../job/index.js';
import { Engine } from '../engine/index.js';
import { type Choices, choicesOf } from '../model/library.js';
import { book, type ShelfItem } from './book.js';

export type Theme = 'system' | 'light' | 'dark';
export type UnitSystem = 'metric' | 'inch';

/** What every page shares: the worker, the library's choices, the shelf, and how the person likes to read. */
export interface Session {
  engine: Engine;
  choices: Choices;
  shelf: ShelfItem[];
  units: UnitChoice;
  system: UnitSystem;
  setSystem(system: UnitSystem): void;
  theme: Theme;
  setTheme(theme: Theme): void;
  /** True when the page is dark now, whether by choice or by the system. */
  dark: boolean;
}

const Context = createContext<Session | undefined>(undefined);

export function useSession(): Session {
  const session = useContext(Context);
  if (!session) throw new Error('no session around this component');
  return session;
}

const systemDark = window.matchMedia('(prefers-color-scheme: dark)');

function useDark(theme: Theme): boolean {
  const [dark, setDark] = useState(systemDark.matches);
  useEffect(() => {
    const hear = () => setDark(systemDark.matches);
    systemDark.addEventListener('change', hear);
    return () => systemDark.removeEventListener('change', hear);
  }, []);
  return theme === 'dark' || (theme === 'system' && dark);
}

export function SessionProvider({ children }: { children: ReactNode }) {
  const [engine] = useState(() => new Engine());
  const [loaded, setLoaded] = useState<{ choices: Choices; shelf: ShelfItem[] }>();
  const [failed, setFailed] = useState<string>();
  const [system, setSystem] = useState<UnitSystem>('metric');
  const [theme, setTheme] = useState<Theme>('system');
  const dark = useDark(theme);

  useEffect(() => {
    document.documentElement.dataset.theme = dark ? 'dark' : 'light';
  }, [dark]);

  useEffect(() => {
    Promise.all([book.library(), book.shelf(), book.settings()])
      .then(([files, shelf, settings]) => {
        void engine.takeLibrary(files);
        if (settings.units === 'inch') setSystem('inch');
        if (settings.theme === 'light' || settings.theme === 'dark') setTheme(settings.theme);
        setLoaded({ choices: choicesOf(files), shelf });
      })
      .catch((error: Error) => setFailed(error.message));
  }, [engine]);

  const session = useMemo<Session | undefined>(
    () =>
      loaded && {
        engine,
        ...loaded,
        system,
        units: system === 'inch' ? INCH : METRIC,
        setSystem(next) {
          setSystem(next);
          void book.setSetting('units', next);
        },
        theme,
        setTheme(next) {
          setTheme(next);
          void book.setSetting('theme', next);
        },
        dark,
      },
    [engine, loaded, system, theme, dark],
  );
  if (failed)
    return (
      <main className="page">
        <p role="alert">{failed}</p>
      </main>
    );
  if (!session) return <main className="page" aria-busy="true" aria-label="Opening the bench book" />;
  return <Context value={session}>{children}</Context>;
}
