import { patchSettings, rehearsalAct, settings } from '../../../shared/api.ts';
import { now } from '../../../shared/live.ts';
import { DONE, done, type RouteParts } from './parts.ts';
import { route, type Route } from '../route.ts';

export const settingRoutes = ({ stage, person }: RouteParts): Route[] => [
  route({
    method: 'POST',
    path: '/api/rehearsal',
    summary: 'Starts, steers or leaves the playing of a recording.',
    body: rehearsalAct,
    status: 200,
    answer: now,
    act: async ({ body }) => {
      if (body.do === 'start') await stage.rehearse(body.file, body.pace);
      if (body.do === 'pause') stage.pause(true);
      if (body.do === 'resume') stage.pause(false);
      if (body.do === 'pace') stage.setPace(body.pace);
      if (body.do === 'seek') stage.seek(body.t);
      if (body.do === 'leave') stage.leaveRehearsal();
      return stage.now();
    },
  }),
  route({
    method: 'GET',
    path: '/api/settings',
    summary: 'What the person has set.',
    status: 200,
    answer: settings,
    act: () => stage.settings(),
  }),
  route({
    method: 'PATCH',
    path: '/api/settings',
    summary: 'Sets something; a new band also moves the running cook.',
    body: patchSettings,
    status: 200,
    answer: settings,
    act: ({ body }) => person.putSettings(body),
  }),
  route({
    method: 'DELETE',
    path: '/api/grill',
    summary: 'Forgets what earlier cooks taught about this grill.',
    status: 200,
    answer: done,
    act: () => {
      stage.forgetGrill();
      return DONE;
    },
  }),
];
