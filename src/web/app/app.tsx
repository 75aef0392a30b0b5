import { lazy, Suspense } from 'react';
import { Link } from 'react-aria-components';
import { Switch } from '../panels/fields.js';
import { JobsPage } from '../panels/jobs-page.js';
import { NewJob } from '../panels/new-job.js';
import { useRoute } from './route.js';
import { SessionProvider, useSession } from './session.js';

/** The pages with drawings load when they are first opened, so that the list of jobs is there at once. */
const JobPage = lazy(async () => ({ default: (await import('../panels/job-page.js')).JobPage }));
const CardPage = lazy(async () => ({ default: (await import('../panels/card-page.js')).CardPage }));

export function App() {
  return (
    <SessionProvider>
      <Header />
      <Suspense fallback={<main className="page" aria-busy="true" aria-label="Opening" />}>
        <Page />
      </Suspense>
    </SessionProvider>
  );
}

function Page() {
  const route = useRoute();
  switch (route.page) {
    case 'new':
      return <NewJob />;
    case 'job':
      return <JobPage key={route.id} id={route.id} />;
    case 'card':
      return <CardPage key={route.id} id={route.id} />;
    default:
      return <JobsPage />;
  }
}

function Header() {
  const { system, setSystem, theme, setTheme } = useSession();
  return (
    <header className="top">
      <Link className="top-name" href="#/">
        platewright
      </Link>
      <div className="top-tools">
        <Switch
          label="Units"
          value={system}
          options={[
            { id: 'metric', label: 'metric' },
            { id: 'inch', label: 'inch' },
          ]}
          onChange={(s) => setSystem(s as 'metric' | 'inch')}
        />
        <Switch
          label="Light"
          value={theme}
          options={[
            { id: 'system', label: 'auto' },
            { id: 'light', label: 'day' },
            { id: 'dark', label: 'night' },
          ]}
          onChange={(t) => setTheme(t as 'system' | 'light' | 'dark')}
        />
      </div>
    </header>
  );
}
