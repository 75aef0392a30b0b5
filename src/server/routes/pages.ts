import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyPluginAsync } from 'fastify';
import { policyWith } from '../guard.js';

/** The built pages, and the theory pages they point to. The first page carries a fresh nonce, so that style made by its controls passes the policy. */
export const pageRoutes: FastifyPluginAsync<{ pages: string; docs: string }> = async (
  app,
  { pages, docs },
) => {
  if (existsSync(docs))
    await app.register(fastifyStatic, {
      root: docs,
      prefix: '/docs/',
      decorateReply: false,
      index: false,
      setHeaders: (reply, path) => {
        if (path.endsWith('.md')) reply.header('content-type', 'text/plain; charset=utf-8');
      },
    });
  if (!existsSync(pages)) return;
  await app.register(fastifyStatic, {
    root: pages,
    index: false,
    setHeaders(reply, path) {
      const lasting = path.includes('/assets/');
      reply.header('cache-control', lasting ? 'public, max-age=31536000, immutable' : 'no-cache');
    },
  });
  app.get('/', { schema: { hide: true } }, async (_request, reply) => {
    const nonce = randomBytes(16).toString('base64');
    const page = await readFile(join(pages, 'index.html'), 'utf8');
    return reply
      .type('text/html; charset=utf-8')
      .header('cache-control', 'no-store')
      .header('content-security-policy', policyWith(nonce))
      .send(page.replace('__NONCE__', nonce));
  });
};
