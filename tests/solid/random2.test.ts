import { randomRun } from './random.ts';

randomRun(2);
