/** Runs the command as built, the way a person would, in a folder of its own. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { onTestFinished } from 'vitest';

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

export const command = resolve('dist/cli.js');

export function run(args: readonly string[], options: { cwd?: string; input?: string; env?: NodeJS.ProcessEnv; command?: string } = {}): Promise<Ran> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, [options.command ?? command, ...args], { cwd: options.cwd, env: { ...process.env, ...options.env } });
    let [out, err] = ['', ''];
    child.stdout.on('data', (data: Buffer) => (out += data.toString()));
    child.stderr.on('data', (data: Buffer) => (err += data.toString()));
    child.on('error', fail);
    child.on('close', (code) => done({ code, out, err }));
    child.stdin.end(options.input ?? '');
  });
}

/** A folder that goes away with the test. */
export function folder(): string {
  const path = mkdtempSync(join(tmpdir(), 'coverwright-'));
  onTestFinished(() => rmSync(path, { recursive: true, force: true }));
  return path;
}
