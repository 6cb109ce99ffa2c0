import { analyse } from './analyse.ts';
import type { Command } from './command.ts';
import { doctor } from './doctor.ts';
import { exportCommand, importCommand } from './portable.ts';
import { serve } from './serve.ts';

/** All commands. A new one: a file here that makes a `Command`, and its line below. */
export const commands: readonly Command[] = [serve, analyse, doctor, exportCommand, importCommand];
