/** One figure of a benchmark. Ratios are of two things measured in one run, so that the machine's mood cancels out. */
export type Row = {
  name: string;
  value: number;
  unit: string;
  /** What it has to reach: at least, or at most. */
  budget?: { least: number } | { most: number };
};
export type Bench = {
  name: string;
  /** Takes minutes and the network: only when it is asked for by name. */
  isLong?: boolean;
  run(): Promise<Row[]> | Row[];
};

export const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;

/** Seconds that `work` takes, median of `rounds` after one that is not counted. */
export function seconds(work: () => void, rounds = 5): number {
  work();
  return median(
    Array.from({ length: rounds }, () => {
      const start = performance.now();
      work();
      return (performance.now() - start) / 1000;
    }),
  );
}

/** For a server whose event loop is not looked at meanwhile, which costs it something; it is ended by SIGKILL. */
export const UNWATCHED = { PEELSIDE_TEST_LOOP: '' };

/** What this process has worked so far, ms of CPU time: other programs that want the cores do not count. */
export function cpuMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

export const holds = ({ value, budget }: Row): boolean =>
  budget === undefined || ('least' in budget ? value >= budget.least : value <= budget.most);
