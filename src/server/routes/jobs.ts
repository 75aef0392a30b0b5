import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import * as api from '../api.js';
import type { AppOptions } from '../app.js';
import { newId, nothing } from './common.js';

/** Jobs, their history, and the forecast that belongs to one version. */
export const jobRoutes: FastifyPluginAsyncZod<AppOptions> = async (app, options) => {
  const { jobs, forecasts } = options.store;

  app.get('/api/jobs', { schema: { response: { 200: z.array(api.jobSummary) } } }, () => jobs.list());

  app.post(
    '/api/jobs',
    { schema: { body: api.jobCreate, response: { 201: api.job } } },
    async (request, reply) =>
      reply.code(201).send(asJob(await jobs.create(newId(options), request.body.document))),
  );

  app.get(
    '/api/jobs/:id',
    { schema: { params: api.id, response: { 200: api.job, 404: api.problems } } },
    async (request, reply) => {
      const job = await jobs.get(request.params.id);
      return job ? asJob(job) : reply.code(404).send(nothing('job'));
    },
  );

  app.put(
    '/api/jobs/:id',
    {
      schema: {
        description: 'Saves on top of `base`; 409 with the current job when another version came between.',
        params: api.id,
        body: api.jobSave,
        response: { 200: api.job, 404: api.problems, 409: api.job },
      },
    },
    async (request, reply) => {
      const { base, document } = request.body;
      const outcome = await jobs.save(request.params.id, base, document);
      if (outcome.kind === 'missing') return reply.code(404).send(nothing('job'));
      return reply.code(outcome.kind === 'conflict' ? 409 : 200).send(asJob(outcome.job));
    },
  );

  for (const way of ['undo', 'redo'] as const)
    app.post(
      `/api/jobs/:id/${way}`,
      { schema: { params: api.id, response: { 200: api.job, 404: api.problems } } },
      async (request, reply) => {
        const job = await jobs[way](request.params.id);
        return job ? asJob(job) : reply.code(404).send(nothing('job'));
      },
    );

  app.get(
    '/api/jobs/:id/history',
    { schema: { params: api.id, response: { 200: api.history } } },
    (request) => jobs.history(request.params.id),
  );

  app.delete(
    '/api/jobs/:id',
    { schema: { params: api.id, response: { 204: z.null(), 404: api.problems } } },
    async (request, reply) => {
      if (!(await jobs.archive(request.params.id))) return reply.code(404).send(nothing('job'));
      return reply.code(204).send(null);
    },
  );

  const version = z.object({ id: z.uuid(), version: z.coerce.number().int() });
  app.get(
    '/api/jobs/:id/forecasts/:version',
    { schema: { params: version, response: { 200: api.forecast, 404: api.problems } } },
    async (request, reply) =>
      (await forecasts.get(request.params.version)) ?? reply.code(404).send(nothing('forecast')),
  );

  app.put(
    '/api/jobs/:id/forecasts/:version',
    { schema: { params: version, body: api.forecastPut, response: { 204: z.null(), 404: api.problems } } },
    async (request, reply) => {
      const { id, version } = request.params;
      const known = (await jobs.history(id)).some((v) => v.version === version);
      if (!known) return reply.code(404).send(nothing('version of this job'));
      await forecasts.put(id, version, request.body.quality, request.body.result);
      return reply.code(204).send(null);
    },
  );
};

/** Documents are JSON objects by the time they were stored. */
const asJob = <T extends { document: unknown }>(job: T) => ({
  ...job,
  document: job.document as Record<string, unknown>,
});
