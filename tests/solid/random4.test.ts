import { randomRun } from './random.ts';

randomRun(4);
