import { z } from 'zod';
import { probe } from '../../../shared/probe.ts';
import {
  calibrate,
  lookAt,
  newProbe,
  patchProbe,
  probeChoices,
  deviceList,
  tried,
  tryReading,
  type ProbeChoices,
} from '../../../shared/api/devices.ts';
import { STONE_CELSIUS, worthAtStone } from '../../conversion/calibration.ts';
import { TOLERANCE_CLASSES, toleranceAt } from '../../conversion/tolerance.ts';
import { checkNames } from '../../ingest/check-probe.ts';
import { describe } from '../../ingest/describe-frame.ts';
import { TRUST_RULES } from '../../ingest/quality.ts';
import { SOURCE_OPTIONS } from '../../source/subscription.ts';
import { withoutKey } from '../../cook/portable/secrets.ts';
import { mayAct } from '../authorisation.ts';
import type { RouteParts } from './route-parts.ts';
import { done, route, type Route } from '../route.ts';

const probeId = z.object({ id: z.string().min(1).max(120) });

export const probeRoutes = (parts: RouteParts): Route[] => [...deviceRoutes(parts), ...listRoutes(parts)];

/** Standard pressure at sea level, Pa. */
const SEA_LEVEL_PA = 101_325;

const CHOICES: ProbeChoices = {
  tolerances: TOLERANCE_CLASSES.map(({ name, to }) => {
    const at = Math.min(STONE_CELSIUS, to);
    return { name, within: toleranceAt(name, at) ?? 0, at };
  }),
  rules: [...TRUST_RULES],
  worth: {
    altitude: worthAtStone({ altitude: 0 }),
    pressure: worthAtStone({ pressure: SEA_LEVEL_PA }),
    seaLevelPressure: worthAtStone({ seaLevelPressure: SEA_LEVEL_PA, altitude: 0 }),
  },
};

const deviceRoutes = ({ registry }: RouteParts): Route[] => [
  route('GET /api/reach', {
    summary: 'Thermometers in reach with what they say; keys of probes only for who may act.',
    answer: deviceList,
    act: ({ request }) => {
      const view = registry.view(false);
      return mayAct(request.raw) ? view : { ...view, probes: view.probes.map(withoutKey) };
    },
  }),
  route('POST /api/reach', {
    summary: 'Looks for thermometers, and says which are in reach.',
    answer: deviceList,
    act: () => registry.view(),
  }),
  route('POST /api/reach/look', {
    summary: 'Connects for a minute to something that no probe is mapped to yet.',
    body: lookAt,
    answer: done,
    act: ({ body }) => {
      checkNames({ options: body.options }, SOURCE_OPTIONS[body.source]);
      registry.look(body.source, body.id, body.options);
    },
  }),
  route('POST /api/reach/try', {
    summary: 'Reads a frame by a mapping that is being built.',
    body: tryReading,
    answer: tried,
    act: ({ body }) => {
      checkNames(body.reads, SOURCE_OPTIONS[body.frame.source]);
      return describe({ ...body.frame, t: 0 }, body.reads);
    },
  }),
];

const listRoutes = ({ probes }: RouteParts): Route[] => [
  route('GET /api/probes/choices', {
    summary:
      'What a probe can be set up with: tolerance classes, rules of trust, what a calibration is worth.',
    answer: probeChoices,
    act: () => CHOICES,
  }),
  route('POST /api/probes', {
    summary: 'Gives a value in reach to a channel.',
    body: newProbe,
    status: 201,
    answer: probe,
    act: ({ body }) => probes.add(body),
  }),
  route('PATCH /api/probes/:id', {
    summary: 'Renames a probe, moves it to another channel, changes how it is read.',
    params: probeId,
    body: patchProbe,
    answer: probe,
    act: ({ params, body }) => probes.patch(params.id, body),
  }),
  route('DELETE /api/probes/:id', {
    summary: 'Forgets a probe.',
    params: probeId,
    answer: done,
    act: ({ params }) => probes.forget(params.id),
  }),
  route('POST /api/probes/swap', {
    summary: 'Two probes change channels.',
    body: z.object({ a: z.string().max(120), b: z.string().max(120) }),
    answer: done,
    act: ({ body }) => probes.swap(body.a, body.b),
  }),
  route('POST /api/probes/:id/calibrate', {
    summary: 'Corrects a probe by one known temperature, by ice and boiling water, or against another probe.',
    params: probeId,
    body: calibrate,
    answer: probe,
    act: ({ params, body }) => probes.calibrate(params.id, body),
  }),
];
