import { z } from 'zod';
import { nearestNames } from '../library/index.js';
import { done, type Outcome, type Problem, refused } from '../units/index.js';

import { type Job, jobSchema } from './schema.js';

type Issue = z.core.$ZodIssue;

/** `["anodes", 0, "solid"]` as people write it: `anodes[0].solid`. */
export const pathText = (path: readonly PropertyKey[]): string =>
  path.reduce<string>(
    (text, key) =>
      typeof key === 'number' ? `${text}[${key}]` : text ? `${text}.${String(key)}` : String(key),
    '',
  );

const at = (document: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((value, key) => (value as Record<PropertyKey, unknown> | undefined)?.[key], document);

/** The most telling branch of a union: the one whose complaints lie deepest. */
function unionIssues(issue: Issue & { code: 'invalid_union' }, document: unknown): Problem[] {
  const branches = issue.errors.map((errors) =>
    errors.flatMap((e) => problemsOf({ ...e, path: [...issue.path, ...e.path] }, document)),
  );
  const telling = branches
    .filter((b) => b.length && !b.some((p) => p.code === 'unknown-field'))
    .sort((a, b) => depth(b) - depth(a))[0];
  if (telling) return telling;
  const value = at(document, issue.path);
  return [
    {
      code: 'not-one-of-the-forms',
      path: pathText(issue.path),
      message: `${pathText(issue.path)} is ${brief(value)}, which is none of the forms allowed here.`,
      hint: 'See `platewright schema job` for the forms.',
    },
  ];
}

const depth = (problems: Problem[]): number => Math.max(...problems.map((p) => p.path.length));

const brief = (value: unknown): string => {
  const text = JSON.stringify(value) ?? 'missing';
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
};

/** One complaint of the schema, in the words of the person who wrote the file. */
function problemsOf(issue: Issue, document: unknown): Problem[] {
  const path = pathText(issue.path);
  const value = at(document, issue.path);
  switch (issue.code) {
    case 'unrecognized_keys': {
      const allowed = allowedKeys(issue.path);
      return issue.keys.map((key) => ({
        code: 'unknown-field',
        path: pathText([...issue.path, key]),
        message: `${path ? `${path} has` : 'There is'} a field "${key}" that platewright does not know.`,
        ...(allowed.length ? { hint: `Did you mean ${nearestNames(key, allowed).join(', ')}?` } : {}),
      }));
    }
    case 'invalid_union':
      return unionIssues(issue as Issue & { code: 'invalid_union' }, document);
    case 'custom': {
      const params = issue.params as { code?: string; hint?: string } | undefined;
      return [
        {
          code: params?.code ?? 'not-allowed',
          path,
          message: issue.message.replace(/^The value/, path),
          ...(params?.hint ? { hint: params.hint } : {}),
        },
      ];
    }
    case 'invalid_value': {
      const names = issue.values.map(String);
      return [
        {
          code: 'unknown-name',
          path,
          message: `${path} is ${brief(value)}.`,
          hint: `It can be ${names.length > 6 ? nearestNames(String(value), names).join(', ') : names.join(', ')}.`,
        },
      ];
    }
    default:
      return [
        {
          code: value === undefined ? 'missing' : 'not-allowed',
          path,
          message:
            value === undefined
              ? `${path || 'The file'} is missing.`
              : `${path} is ${brief(value)}: ${issue.message}.`,
        },
      ];
  }
}

/** Field names the schema allows at a path, for the "did you mean". */
function allowedKeys(path: readonly PropertyKey[]): string[] {
  let node: z.core.$ZodType | undefined = jobSchema;
  for (const key of path) {
    node = unwrap(node);
    if (node instanceof z.ZodObject) node = node.shape[String(key)] as z.core.$ZodType | undefined;
    else if (node instanceof z.ZodArray) node = node.element as z.core.$ZodType;
    else return [];
  }
  node = unwrap(node);
  return node instanceof z.ZodObject ? Object.keys(node.shape) : [];
}

const unwrap = (node: z.core.$ZodType | undefined): z.core.$ZodType | undefined =>
  node instanceof z.ZodOptional || node instanceof z.ZodDefault
    ? unwrap(node.unwrap() as z.core.$ZodType)
    : node;

/** Reads a document by a schema of the job file or of a piece of it. */
export function readWith<T extends z.ZodType>(schema: T, document: unknown): Outcome<z.output<T>> {
  const read = schema.safeParse(document);
  if (read.success) return done(read.data);
  return refused(...read.error.issues.flatMap((issue) => problemsOf(issue as Issue, document)));
}

/** Reads a parsed YAML or JSON document as a job; every complaint at once, each with its place. */
export function readJob(document: unknown): Outcome<Job> {
  return readWith(jobSchema, document);
}

/** JSON Schema of the job file. */
export const jobJsonSchema = (): unknown => z.toJSONSchema(jobSchema, { io: 'input' });
