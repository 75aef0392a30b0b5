import { timingSafeEqual } from 'node:crypto';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';

/**
 * Who may talk to the server and what a page may load. On the loopback interface no token is asked, but the names the
 * browser used must be ours, so that a foreign site cannot reach us through a name of its own; anywhere else a token is.
 */
export interface GuardOptions {
  /** Asked of everybody when set. */
  token?: string | undefined;
  /** Host names answered to; undefined answers to all (then a token is set). */
  hosts?: string[] | undefined;
}

const policy = (style: string) =>
  [
    "default-src 'none'",
    "script-src 'self' 'wasm-unsafe-eval'",
    "worker-src 'self' blob:",
    `style-src ${style}`,
    "img-src 'self' data: blob:",
    "font-src 'self'",
    "connect-src 'self'",
    "manifest-src 'self'",
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join('; ');

/** The policy of a page whose controls add style marked with `nonce`. */
export const policyWith = (nonce: string): string => policy(`'self' 'nonce-${nonce}'`);

const HEADERS: Record<string, string> = {
  'content-security-policy': policy("'self'"),
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-embedder-policy': 'require-corp',
  'cross-origin-resource-policy': 'same-origin',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
};

const COOKIE = 'platewright-token';

/** Host name without the port; IPv6 keeps its brackets. */
const hostName = (host: string | undefined): string => (host ?? '').replace(/:\d+$/, '').toLowerCase();

const equal = (a: string, b: string): boolean => {
  const [x, y] = [Buffer.from(a), Buffer.from(b)];
  return x.length === y.length && timingSafeEqual(x, y);
};

const cookie = (request: FastifyRequest): string | undefined =>
  request.headers.cookie
    ?.split(';')
    .map((c) => c.trim().split('='))
    .find(([name]) => name === COOKIE)?.[1];

const refuse = (reply: FastifyReply, status: number, code: string, message: string, hint: string) =>
  reply.code(status).send({ problems: [{ code, path: '', message, hint }] });

export function guard(app: FastifyInstance, { token, hosts }: GuardOptions): void {
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(HEADERS);
    if (hosts && !hosts.includes(hostName(request.headers.host)))
      return refuse(
        reply,
        403,
        'foreign-host',
        `This server does not answer to the name "${hostName(request.headers.host)}".`,
        'Open it at the address it printed when it started.',
      );
    const site = request.headers['sec-fetch-site'];
    const writes = request.method !== 'GET' && request.method !== 'HEAD';
    if (writes && site !== undefined && site !== 'same-origin')
      return refuse(
        reply,
        403,
        'foreign-page',
        'Another site tried to change the bench book.',
        'Nothing was changed; work from the page of platewright itself.',
      );
    if (token === undefined) return;
    const asked = new URL(request.url, 'http://local').searchParams.get('token');
    const bearer = request.headers.authorization?.replace(/^Bearer /, '');
    const given = asked ?? bearer ?? cookie(request);
    if (given === undefined || !equal(given, token))
      return refuse(
        reply,
        401,
        'token-missing',
        'This bench is open to the network and asks for its token.',
        'Open the address with "?token=..." as the server printed it.',
      );
    if (asked !== null)
      reply.header('set-cookie', `${COOKIE}=${token}; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000`);
  });
}
