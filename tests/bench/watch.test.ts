/** Silence of a kernel: when it is a hang, and when it is long work. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { makeWatch } from '../../src/bench/kernel/watch.ts';

let barks = 0;
const watch = () => makeWatch(() => void (barks += 1), () => Date.now());
beforeEach(() => {
  barks = 0;
  vi.useFakeTimers();
});
afterEach(() => void vi.useRealTimers());

test('a kernel that says nothing is called hung within one and a half seconds', () => {
  const one = watch();
  one.begin(false);
  vi.advanceTimersByTime(1000);
  expect(barks).toBe(0);
  vi.advanceTimersByTime(500);
  expect(barks).toBe(1);
  vi.advanceTimersByTime(60_000);
  expect(barks).toBe(1);
});

test('long work that sends a pulse now and then is left alone, and teaches how long silence may be', () => {
  const one = watch();
  one.begin(false);
  for (let i = 0; i < 50; i += 1) {
    vi.advanceTimersByTime(900);
    one.heard();
  }
  one.end();
  expect(barks).toBe(0);
  one.begin(false);
  vi.advanceTimersByTime(2100);
  expect(barks).toBe(0);
  vi.advanceTimersByTime(400);
  expect(barks).toBe(1);
});

test('work given up once gets more time, unless something newer waits', () => {
  const [again, hurried] = [watch(), watch()];
  again.begin(true);
  vi.advanceTimersByTime(9000);
  expect(barks).toBe(0);
  vi.advanceTimersByTime(1000);
  expect(barks).toBe(1);
  hurried.begin(true);
  vi.advanceTimersByTime(3000);
  hurried.hurry();
  vi.advanceTimersByTime(300);
  expect(barks).toBe(2);
});

test('time asleep does not count', () => {
  const one = watch();
  one.begin(false);
  vi.advanceTimersByTime(600);
  vi.setSystemTime(Date.now() + 3_600_000);
  vi.advanceTimersByTime(450);
  expect(barks).toBe(0);
  vi.advanceTimersByTime(600);
  expect(barks).toBe(1);
});

test('a slow machine is known by how long it took to open', () => {
  const one = watch();
  one.opened(1000);
  one.begin(false);
  vi.advanceTimersByTime(2400);
  expect(barks).toBe(0);
  vi.advanceTimersByTime(400);
  expect(barks).toBe(1);
});
