import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { Card } from '../../job/card/index.js';
import * as api from '../api.js';
import { cardPdf } from '../card-pdf.js';
import { cardShape } from '../card-shape.js';

/** Sets the content of a job card, which the page made, as a PDF. */
export const cardRoutes: FastifyPluginAsyncZod = async (app) => {
  app.post(
    '/api/card.pdf',
    {
      schema: {
        body: cardShape,
        response: { 200: z.any().describe('application/pdf'), 400: api.problems },
      },
    },
    async (request, reply) => {
      const bytes = await cardPdf(request.body as Card);
      return reply.type('application/pdf').send(bytes as never);
    },
  );
};
