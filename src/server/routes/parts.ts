import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import * as api from '../api.js';
import type { AppOptions } from '../app.js';
import { newId, nothing } from './common.js';

/** The person's part files: kept byte for byte, read and repaired by the page. */
export const partRoutes: FastifyPluginAsyncZod<AppOptions & { uploadLimit: number }> = async (
  app,
  options,
) => {
  const { parts } = options.store;
  app.addContentTypeParser('application/octet-stream', { parseAs: 'buffer' }, (_request, body, done) =>
    done(null, body),
  );

  app.get('/api/parts', { schema: { response: { 200: z.array(api.part) } } }, () => parts.list());

  app.post(
    '/api/parts',
    {
      bodyLimit: options.uploadLimit,
      schema: {
        description: 'The file itself as the body, application/octet-stream; its name and unit in the query.',
        querystring: api.partUpload,
        response: { 201: api.part, 400: api.problems },
      },
    },
    async (request, reply) => {
      const bytes = request.body;
      if (!Buffer.isBuffer(bytes) || bytes.length === 0)
        return reply.code(400).send({
          problems: [
            { code: 'empty-file', path: '', message: 'The file is empty.', hint: 'Export the part again.' },
          ],
        });
      const { name, fileName, unit } = request.query;
      const added = await parts.add({ id: newId(options), name, fileName, unit, report: null, bytes });
      return reply.code(201).send(added);
    },
  );

  app.get(
    '/api/parts/:id/file',
    { schema: { params: api.id, response: { 404: api.problems } } },
    async (request, reply) => {
      const bytes = await parts.bytes(request.params.id);
      if (!bytes) return reply.code(404).send(nothing('part'));
      return reply
        .type('application/octet-stream')
        .header('content-disposition', 'attachment')
        .send(Buffer.from(bytes) as never);
    },
  );

  app.patch(
    '/api/parts/:id',
    { schema: { params: api.id, body: api.partChange, response: { 200: api.part, 404: api.problems } } },
    async (request, reply) => {
      const { name, unit, report } = request.body;
      const changed = await parts.change(request.params.id, {
        ...(name === undefined ? {} : { name }),
        ...(unit === undefined ? {} : { unit }),
        ...(report === undefined ? {} : { report }),
      });
      return changed ?? reply.code(404).send(nothing('part'));
    },
  );

  app.delete(
    '/api/parts/:id',
    { schema: { params: api.id, response: { 204: z.null(), 404: api.problems } } },
    async (request, reply) => {
      if (!(await parts.archive(request.params.id))) return reply.code(404).send(nothing('part'));
      return reply.code(204).send(null);
    },
  );
};
