import fastifySwagger from '@fastify/swagger';
import Fastify, { type FastifyError, type FastifyInstance } from 'fastify';
import {
  hasZodFastifySchemaValidationErrors,
  jsonSchemaTransform,
  serializerCompiler,
  validatorCompiler,
} from 'fastify-type-provider-zod';
import type { Store } from '../store/index.js';
import type { Problem } from '../units/index.js';
import { type GuardOptions, guard } from './guard.js';
import { bookRoutes } from './routes/book.js';
import { cardRoutes } from './routes/card.js';
import { jobRoutes } from './routes/jobs.js';
import { pageRoutes } from './routes/pages.js';
import { partRoutes } from './routes/parts.js';

export interface AppOptions extends GuardOptions {
  store: Store;
  /** Folder of the built pages, and the file of the built library of records. */
  pages: string;
  /** Folder of the theory pages that stories point to. */
  docs: string;
  library: string;
  /** Largest upload [bytes]. */
  uploadLimit?: number;
  /** New identifiers; tests pass their own. */
  newId?: () => string;
}

const UPLOAD_LIMIT = 64 * 1024 * 1024;
/** A job document or a forecast is some tens of kilobytes; this leaves room and keeps out what is neither. */
const JSON_LIMIT = 8 * 1024 * 1024;

/** The server without a port: routes, guard, problems as JSON, and the OpenAPI description of it all. */
export async function buildApp(options: AppOptions): Promise<FastifyInstance> {
  const app = Fastify({ bodyLimit: JSON_LIMIT, forceCloseConnections: true });
  app.setValidatorCompiler(validatorCompiler);
  app.setSerializerCompiler(serializerCompiler);
  guard(app, options);
  app.setErrorHandler((error: FastifyError, request, reply) => {
    const status = error.statusCode ?? 500;
    if (status >= 500) {
      process.stderr.write(`${request.method} ${request.url}: ${error.stack ?? error.message}\n`);
      return reply.code(500).send({
        problems: [{ code: 'bug', path: '', message: 'This is a bug in platewright, not in your input.' }],
      });
    }
    return reply.code(status).send({ problems: explain(error) });
  });
  await app.register(fastifySwagger, {
    openapi: { info: { title: 'platewright', version: '1', description: 'The bench book of one workshop.' } },
    transform: jsonSchemaTransform,
  });
  await app.register(partRoutes, { ...options, uploadLimit: options.uploadLimit ?? UPLOAD_LIMIT });
  await app.register(jobRoutes, options);
  await app.register(bookRoutes, options);
  await app.register(cardRoutes);
  await app.register(pageRoutes, { pages: options.pages, docs: options.docs });
  app.setNotFoundHandler((request, reply) =>
    reply.code(404).send({
      problems: [
        { code: 'not-found', path: '', message: `There is nothing at ${request.url.split('?')[0]}.` },
      ],
    }),
  );
  return app;
}

/** What a refused request got wrong, in words. */
function explain(error: FastifyError): Problem[] {
  if (hasZodFastifySchemaValidationErrors(error))
    return error.validation.map((v) => ({
      code: 'not-allowed',
      path: v.instancePath.replace(/^\//, '').replaceAll('/', '.'),
      message: `${v.instancePath.replace(/^\//, '') || 'The request'}: ${v.message ?? 'not allowed'}.`,
    }));
  if (error.code === 'FST_ERR_CTP_BODY_TOO_LARGE')
    return [
      {
        code: 'too-large',
        path: '',
        message: 'The file is larger than this server takes.',
        hint: 'Export the part with fewer triangles; a hundredth of a millimetre is fine enough for plating.',
      },
    ];
  return [{ code: 'bad-request', path: '', message: error.message }];
}
