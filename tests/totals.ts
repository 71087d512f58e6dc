/** Ends every test run with one plain line of totals, for whoever reads only the last line. */
import type { Reporter, TestModule } from 'vitest/node';

export default class Totals implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const count = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        if (state === 'passed' || state === 'failed') count[state] += 1;
        else count.skipped += 1;
      }
      // A file that does not even load has no tests of its own to count.
      if (module.state() === 'failed' && [...module.children.allTests()].length === 0) count.failed += 1;
    }
    process.stdout.write(`\n${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped\n`);
  }
}
