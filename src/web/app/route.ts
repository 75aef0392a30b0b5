import { useSyncExternalStore } from 'react';

/** Where in the bench book the page stands; kept in the address after `#`, so that the back key works. */
export type Route =
  | { page: 'jobs' }
  | { page: 'new' }
  | { page: 'job'; id: string }
  | { page: 'card'; id: string };

export function routeOf(hash: string): Route {
  const [page, id, more] = hash.replace(/^#\/?/, '').split('/');
  if (page === 'new') return { page: 'new' };
  if (page === 'job' && id) return more === 'card' ? { page: 'card', id } : { page: 'job', id };
  return { page: 'jobs' };
}

const hear = (changed: () => void) => {
  window.addEventListener('hashchange', changed);
  return () => window.removeEventListener('hashchange', changed);
};

export function useRoute(): Route {
  const hash = useSyncExternalStore(hear, () => window.location.hash);
  return routeOf(hash);
}

export const go = (hash: string): void => {
  window.location.hash = hash;
};
