import { Link } from 'react-aria-components';
import { CardPage } from '../panels/card-page.js';
import { Switch } from '../panels/fields.js';
import { JobPage } from '../panels/job-page.js';
import { JobsPage } from '../panels/jobs-page.js';
import { NewJob } from '../panels/new-job.js';
import { useRoute } from './route.js';
import { SessionProvider, useSession } from './session.js';

export function App() {
  return (
    <SessionProvider>
      <Header />
      <Page />
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
