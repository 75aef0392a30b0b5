import { Command } from 'commander';
import type { Verb, VerbResult } from './verb.js';
import { VERBS } from './verbs/index.js';

/** Exit status of the contract: 0 done, 1 refused, 2 not completed, 3 a bug. */
const EXIT = { done: 0, refused: 1, 'not-completed': 2 } as const;

function print(result: VerbResult, json: boolean): void {
  if (result.status === 'refused') {
    if (json) process.stdout.write(`${JSON.stringify({ problems: result.problems })}\n`);
    for (const p of result.problems)
      process.stderr.write(
        `${p.path ? `${p.path}: ` : ''}${p.message}${p.hint ? `\n  try: ${p.hint}` : ''}\n`,
      );
    if (result.text) process.stderr.write(`${result.text}\n`);
  } else process.stdout.write(json ? `${JSON.stringify(result.json)}\n` : `${result.text}\n`);
}

function register(program: Command, verb: Verb): void {
  const command = program.command(verb.name).description(verb.summary);
  for (const argument of verb.arguments) command.argument(argument);
  for (const option of verb.options) command.option(option.flags, option.description);
  command.option('--json', 'one JSON document on standard output, nothing else there');
  command.action(async (...received: unknown[]) => {
    const options = command.opts<Record<string, string | boolean | undefined>>();
    const args = (received.slice(0, verb.arguments.length) as (string | string[] | undefined)[])
      .flat()
      .filter((a): a is string => a !== undefined);
    const result = await verb.run(args, options);
    print(result, options.json === true);
    process.exitCode = EXIT[result.status];
  });
}

const program = new Command('platewright')
  .description('Plans a small electroplating job: from a worn part to a sound deposit of known thickness.')
  .showHelpAfterError()
  .exitOverride();
for (const verb of VERBS) register(program, verb);

try {
  await program.parseAsync();
} catch (error) {
  const code = (error as { code?: string }).code ?? '';
  if (code.startsWith('commander.')) {
    const shown = ['commander.help', 'commander.helpDisplayed', 'commander.version'].includes(code);
    if (!shown && process.argv.includes('--json'))
      process.stdout.write(
        `${JSON.stringify({ problems: [{ code: 'command-line', path: '', message: (error as Error).message }] })}\n`,
      );
    process.exitCode = shown ? 0 : 1;
  } else {
    process.stderr.write(
      `This is a bug in platewright, not in your input. ${(error as Error).stack ?? error}\n`,
    );
    process.exitCode = 3;
  }
}
