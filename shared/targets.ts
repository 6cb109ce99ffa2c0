import { z } from 'zod';

/** Lowest and highest wanted temperature, °C. */
export const band = z
  .tuple([z.number().min(-50).max(1000), z.number().min(-50).max(1000)])
  .refine(([low, high]) => low < high, 'a band goes from its lowest to its highest temperature');

/** What is wanted of stone and dome; `domeLimit`, °C, is never to be passed, for the grill's own sake. */
export const targets = z.object({
  stone: band,
  dome: band.optional(),
  domeLimit: z.number().min(0).max(1000).nullish(),
});

export type Band = readonly [low: number, high: number];

export type Targets = {
  stone: Band;
  dome?: Band;
  /** Never above this, °C, for the grill's own sake. */ domeLimit?: number | null;
};
