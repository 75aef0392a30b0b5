import { useEffect, useState } from 'react';
import { Button, Link } from 'react-aria-components';
import { book, type JobSummary } from '../app/book.js';
import { go } from '../app/route.js';

const when = new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium', timeStyle: 'short' });

/** The bench book's first page: the jobs, newest change first. */
export function JobsPage() {
  const [jobs, setJobs] = useState<JobSummary[]>();
  const [failed, setFailed] = useState('');
  useEffect(() => {
    book
      .jobs()
      .then(setJobs)
      .catch((error: Error) => setFailed(error.message));
  }, []);
  const drop = async (job: JobSummary) => {
    await book.archiveJob(job.id);
    setJobs((all) => all?.filter((j) => j.id !== job.id));
  };
  return (
    <main className="page">
      <div className="jobs-head">
        <h1>Bench book</h1>
        <Button className="button button-main" onPress={() => go('/new')}>
          New job
        </Button>
      </div>
      {failed ? <p role="alert">{failed}</p> : null}
      {jobs?.length === 0 ? (
        <p className="waiting">
          No jobs yet. A job is one part in one bath: say what it is, and the forecast says what to set and
          how long.
        </p>
      ) : null}
      <ul className="jobs">
        {jobs?.map((job) => (
          <li key={job.id}>
            <Link className="jobs-link" href={`#/job/${job.id}`}>
              {job.name}
            </Link>
            <span className="jobs-when">changed {when.format(job.changed)}</span>
            <Button
              className="button button-quiet"
              aria-label={`Put away ${job.name}`}
              onPress={() => void drop(job)}
            >
              Put away
            </Button>
          </li>
        ))}
      </ul>
    </main>
  );
}
