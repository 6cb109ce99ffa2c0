// Preloaded beside socket.cjs: on SIGUSR2 writes what the process holds, so that a test can see what piles up.
'use strict';
const fs = require('node:fs');
const path = require('node:path');
const v8 = require('node:v8');
const vm = require('node:vm');

v8.setFlagsFromString('--expose-gc');
const collect = vm.runInNewContext('gc');

const listenersOf = (emitter) =>
  emitter.eventNames().reduce((sum, event) => sum + emitter.listenerCount(event), 0);

process.on('SIGUSR2', () => {
  const noble = require('@abandonware/noble');
  const peripherals = Object.values(noble._peripherals);
  collect();
  const held = {
    heap: process.memoryUsage().heapUsed,
    resources: process.getActiveResourcesInfo().length,
    listeners:
      listenersOf(process) +
      listenersOf(noble) +
      peripherals.reduce((sum, peripheral) => sum + listenersOf(peripheral), 0),
    links: Object.keys(noble._bindings._gatts).length,
  };
  const file = path.join(process.env.AIR_FOLDER, 'held.json');
  fs.writeFileSync(`${file}.new`, JSON.stringify(held));
  fs.renameSync(`${file}.new`, file);
});
