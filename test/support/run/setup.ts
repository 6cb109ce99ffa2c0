import { afterAll, afterEach, beforeEach } from 'vitest';
import { beginTest, endFile, endTest } from '../endings.ts';

/** Runs with each file of tests: what they open is closed after them. */
beforeEach(beginTest);
afterEach(endTest);
afterAll(endFile);
