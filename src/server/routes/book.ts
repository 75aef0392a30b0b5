import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import * as api from '../api.js';
import type { AppOptions } from '../app.js';
import { newId, nothing } from './common.js';

/** The shelf, the settings, the library of records, and the description of this interface. */
export const bookRoutes: FastifyPluginAsyncZod<AppOptions> = async (app, options) => {
  const { shelf, settings } = options.store;

  app.get('/api/shelf', { schema: { response: { 200: z.array(api.shelfItem) } } }, () => shelf.list());
  app.post(
    '/api/shelf',
    { schema: { body: api.shelfAdd, response: { 201: api.shelfItem } } },
    async (request, reply) => reply.code(201).send(await shelf.add({ id: newId(options), ...request.body })),
  );
  app.delete(
    '/api/shelf/:id',
    { schema: { params: api.id, response: { 204: z.null(), 404: api.problems } } },
    async (request, reply) => {
      if (!(await shelf.archive(request.params.id))) return reply.code(404).send(nothing('thing'));
      return reply.code(204).send(null);
    },
  );

  app.get('/api/settings', { schema: { response: { 200: api.settings } } }, () => settings.all());
  app.put(
    '/api/settings/:key',
    {
      schema: {
        params: z.object({ key: z.string().regex(/^[a-z][a-z-]{0,40}$/) }),
        body: api.setting,
        response: { 204: z.null() },
      },
    },
    async (request, reply) => {
      await settings.set(request.params.key, request.body.value);
      return reply.code(204).send(null);
    },
  );

  app.get('/api/library', { schema: { response: { 404: api.problems } } }, async (_request, reply) => {
    if (!existsSync(options.library)) return reply.code(404).send(nothing('library'));
    return reply
      .type('application/json')
      .header('cache-control', 'no-cache')
      .send((await readFile(options.library)) as never);
  });

  app.get('/api/openapi.json', { schema: { hide: true } }, () => app.swagger());
};
