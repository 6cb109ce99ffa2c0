// Preloaded (--require) into processes that use noble or bleno: replaces the one class that both stand on, the HCI
// socket, by one that talks to the virtual air. Everything above it runs unchanged.
'use strict';
const { EventEmitter } = require('node:events');
const fs = require('node:fs');
const Module = require('node:module');
const net = require('node:net');
const path = require('node:path');

const { AIR_FOLDER: folder, AIR_ADDRESS: address } = process.env;

function failure(code, text) {
  return Object.assign(new Error(`${code}, ${text}`), { code });
}

const FAULTS = {
  eafnosupport: 'Address family not supported by protocol',
  enodev: 'No such device',
  eperm: 'Operation not permitted',
};

/** What the air says is wrong with this adapter at the moment. */
function fault() {
  const file = path.join(folder, `fault-${address}`);
  return fs.existsSync(file) ? fs.readFileSync(file, 'utf8') : '';
}

class AirHciSocket extends EventEmitter {
  constructor() {
    super();
    if (fault() === 'eafnosupport') throw failure('EAFNOSUPPORT', FAULTS.eafnosupport);
  }

  bindRaw(device = 0) {
    if (fault() === 'enodev') throw failure('ENODEV', FAULTS.enodev);
    this.socket ??= this.connect();
    return device;
  }

  bindUser(device) {
    return this.bindRaw(device);
  }

  // bleno also opens the management channel, of whose answers it needs none.
  bindControl() {}

  connect() {
    const socket = net.connect(path.join(folder, 'air.sock'));
    socket.on('error', () => {});
    let waiting = Buffer.alloc(0);
    socket.on('data', (bytes) => {
      waiting = Buffer.concat([waiting, bytes]);
      while (waiting.length >= 2 && waiting.length >= 2 + waiting.readUInt16LE(0)) {
        const end = 2 + waiting.readUInt16LE(0);
        const packet = waiting.subarray(2, end);
        waiting = waiting.subarray(end);
        this.emit('data', packet);
      }
    });
    socket.write(framed(Buffer.from(`${address} ${process.pid}`)));
    return socket;
  }

  start() {}

  stop() {}

  cleanup() {}

  setFilter() {}

  isDevUp() {
    return !fs.existsSync(path.join(folder, `off-${address}`));
  }

  write(packet) {
    if (!this.socket) return;
    if (fault() === 'eperm') {
      setImmediate(() => this.emit('error', failure('EPERM', FAULTS.eperm)));
      return;
    }
    // A real HCI socket is written at once: what noble and bleno send while the process exits must still get out.
    const fd = this.socket._handle?.fd;
    if (exiting && fd > 0) fs.writeSync(fd, framed(packet));
    else this.socket.write(framed(packet));
  }
}

let exiting = false;
process.prependListener('exit', () => (exiting = true));

function framed(packet) {
  const head = Buffer.alloc(2);
  head.writeUInt16LE(packet.length, 0);
  return Buffer.concat([head, packet]);
}

const load = Module._load;
Module._load = function (request, ...rest) {
  return request === '@abandonware/bluetooth-hci-socket' ? AirHciSocket : load.call(this, request, ...rest);
};
