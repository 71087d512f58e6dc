/** The command and the library are tested as built; this builds them once before any test runs. */
import { execFileSync } from 'node:child_process';

export default function buildFirst(): void {
  execFileSync('npm', ['run', '--silent', 'build:node'], { stdio: 'inherit' });
}
