/**
 * The terminal face. Exit codes: 0 done, 1 made but stop findings stand, 2 bad input. Results go to standard output,
 * progress and refusals to standard error.
 */
import { availableParallelism } from 'node:os';
import { setFlagsFromString } from 'node:v8';
import { Command, InvalidArgumentError, Option } from 'commander';
import type { MakeFlags } from './make.ts';
import type { CompareFlags } from './compare.ts';
import type { FairFlags } from './fair.ts';
import type { FitFlags } from './fit.ts';
import type { LocateFlags } from './locate.ts';
import type { NewFlags } from './new.ts';
import { sweepUp } from './disk.ts';
import { version } from './version.ts';

// A command runs for seconds: optimising the kernel's code as eagerly as for a long life, on every core, costs more than it gives (a quarter of a cold make on two cores).
setFlagsFromString('--wasm-tiering-budget=400000000');
setFlagsFromString('--wasm-num-compilation-tasks=1');

// Each verb loads what it needs when it is called for: a command should answer at once.
async function makeVerbs(): Promise<typeof import('./make.ts')> {
  (await import('./pool.ts')).startAhead();
  return import('./make.ts');
}

const collect = (value: string, before: readonly string[]): readonly string[] => [...before, value];

function wholeNumber(text: string): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 1 || value > 64) throw new InvalidArgumentError('Expected a whole number from 1 to 64.');
  return value;
}

function dateText(text: string): string {
  const date = new Date(text);
  if (Number.isNaN(date.getTime())) throw new InvalidArgumentError('Expected a date such as 2026-01-31 or 2026-01-31T08:00:00Z.');
  return date.toISOString();
}

const setOption = (): Option =>
  new Option('--set <path=value>', 'change one value before reading, such as body.wall=3.5 or "tabs[0].reach=1 3/32in"; may be repeated').argParser(collect).default([], 'none');
const atOnceOption = (): Option => new Option('--at-once <n>', 'how many jobs to work on at the same time').argParser(wholeNumber).default(Math.min(availableParallelism(), 8));
const jsonOption = (): Option => new Option('--json', 'print one JSON document instead of text');
const dateOption = (): Option => new Option('--date <date>', 'date written into the files; SOURCE_DATE_EPOCH is honoured when left out').argParser(dateText);

const program = new Command('coverwright')
  .description('From readings of a worn original to a machined cover, in one job file.')
  .version(version)
  // Commander's own refusals (unknown verb, bad option) are bad input too. Verbs added below inherit this.
  .exitOverride((error) => process.exit(error.exitCode === 0 ? 0 : 2))
  .showHelpAfterError('(--help shows what is expected)')
  .addHelpText(
    'after',
    `
Examples:
  coverwright new clamp.job.json --from clamp-cover
  coverwright check clamp.job.json --set body.skin=2.5
  coverwright make clamp.job.json --out out
  coverwright make clamp.job.json --proof --printer left.printer.json
  coverwright fair readings.csv --units inch --error .003 --out out
  coverwright locate holes.csv --out out
  coverwright fit clamp.job.json offsets.csv --write clamp-b.job.json
  coverwright compare clamp-b.job.json@A clamp-b.job.json

Exit codes: 0 done, 1 made but stop findings stand, 2 bad input.`,
  );

program
  .command('make')
  .description('make every file of one or more jobs: STEP, STL, 3MF, drawings, report')
  .argument('<job...>', 'job files; - reads one from standard input')
  .option('-o, --out <folder>', 'where the files go', 'out')
  .option('--cutters <file>', 'hold every cut against the cutters of this file, and name them on the setup sheet')
  .option('--proof', 'the test print too: pieces as STL and 3MF, beds, and what to read off them')
  .option('--printer <file>', 'with the test print drawn for the printer this file measured; implies --proof')
  .addOption(setOption())
  .addOption(atOnceOption())
  .addOption(dateOption())
  .addOption(jsonOption())
  .action(async (jobs: readonly string[], flags: MakeFlags) => finish(await (await makeVerbs()).runMake(jobs, flags)));

program
  .command('check')
  .description('build and check one or more jobs without writing files')
  .argument('<job...>', 'job files; - reads one from standard input')
  .option('--cutters <file>', 'hold every cut against the cutters of this file, and name them on the setup sheet')
  .addOption(setOption())
  .addOption(atOnceOption())
  .addOption(dateOption())
  .addOption(jsonOption())
  .action(async (jobs: readonly string[], flags: Omit<MakeFlags, 'out'>) => finish(await (await makeVerbs()).runCheck(jobs, flags)));

program
  .command('fair')
  .description('find the smooth contour through a table, DXF or SVG of readings; write its report, DXF, SVG and CSV')
  .argument('<readings>', 'CSV, TSV or text table, DXF or SVG; - reads a table from standard input')
  .option('-o, --out <folder>', 'where the files go; nothing is written when left out')
  .addOption(new Option('-u, --units <units>', 'what a number without a unit means').choices(['mm', 'inch']))
  .option('-e, --error <length>', 'reading error, one sigma, such as 0.05 or .002in; cross validation decides when left out')
  .addOption(new Option('--smoothing <rule>', 'how the smoothness is chosen').choices(['auto', 'reading error', 'cross validation', 'through the points', 'by hand']).default('auto'))
  .option('--stiffness <0..1>', 'with --smoothing "by hand": 0 passes through the points, 1 is a straight line')
  .option('--tip <radius>', 'radius of the ball tip, such as 1 or 1/16in')
  .option('--pick <name>', 'of a drawing that holds several paths, the SVG id or DXF layer meant')
  .addOption(new Option('--path <n>', 'of a drawing that holds several paths, the number of the one meant').argParser(wholeNumber))
  .addOption(jsonOption())
  .action(async (readings: string, flags: FairFlags) => finish(await (await import('./fair.ts')).runFair(readings, flags)));

program
  .command('locate')
  .description('find where holes stand from readings between them, with errors, slips and what to measure next')
  .argument('<readings>', 'a sheet of rows "kind, hole, to, value", or a job that keeps such readings; - reads it from standard input')
  .option('-o, --out <folder>', 'where the drawing and tables go; nothing is written when left out')
  .addOption(new Option('-u, --units <units>', 'what a number without a unit means; the sheet says when left out').choices(['mm', 'inch']))
  .option('--into <job>', 'hold the holes of this job against those of the same names: the odds that it bolts up')
  .option('--write <file>', 'with --into: the job with its holes moved to the places found')
  .addOption(jsonOption())
  .action(async (readings: string, flags: LocateFlags) => finish(await (await import('./locate.ts')).runLocate(readings, flags)));

program
  .command('fit')
  .description('tell from the offsets of a test fit what is wrong and where to correct it; write the next revision')
  .argument('<job>', 'the job the piece was made from')
  .argument('[offsets]', 'a sheet of offsets; the last test fit in the job when left out')
  .option('--write <file>', 'the next revision, with this one frozen in it')
  .option('--svg <file>', 'a drawing of the arrows')
  .option('--printer <file>', 'the printer file of the print: its scale and skew are taken out, once, where the piece was not drawn for them')
  .addOption(setOption())
  .addOption(jsonOption())
  .action(async (job: string, offsets: string | undefined, flags: FitFlags) => finish(await (await import('./fit.ts')).runFit(job, offsets, flags)));

program
  .command('compare')
  .description('what differs between two jobs, or between two revisions of one (job.json@A): values, holes, volumes')
  .argument('<before>', 'the older one')
  .argument('<after>', 'the newer one')
  .option('--no-volumes', 'do not build the solids')
  .addOption(jsonOption())
  .action(async (before: string, after: string, flags: CompareFlags) => finish(await (await import('./compare.ts')).runCompare(before, after, flags)));

program
  .command('new')
  .description('start a job file from one of the presets')
  .argument('[file]', 'the job file to write')
  .option('--from <preset>', 'which preset', 'worm-drive-cover')
  .option('--list', 'list the presets')
  .option('--title <text>', 'title of the part')
  .option('--number <text>', 'part number')
  .action(async (file: string | undefined, flags: NewFlags) => finish(await (await import('./new.ts')).runNew(file, flags)));

program
  .command('schemas', { hidden: true })
  .description('write the JSON Schemas of the job file and the report')
  .option('-o, --out <folder>', 'where they go', 'public')
  .action(async (flags: { out: string }) => finish(await (await import('./schemas.ts')).runSchemas(flags.out)));

function finish(code: number): void {
  process.exitCode = code;
}

for (const [signal, code] of [['SIGINT', 130], ['SIGTERM', 143]] as const) {
  process.on(signal, () => {
    sweepUp();
    process.exit(code);
  });
}
// Output cut short by `| head` is not an error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

await program.parseAsync();
