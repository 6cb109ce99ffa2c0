/** A JPEG put together by hand, as ITU-T T.81 annex B lays it out: what a camera adds, and one scan of made-up data. */
export function handMadeJpeg({ place = 'N 12.345', pixels = 8, size = 20, tail = '' } = {}): Buffer {
  const segment = (marker: number, body: Buffer): Buffer => {
    const head = Buffer.from([0xff, marker, 0, 0]);
    head.writeUInt16BE(body.length + 2, 2);
    return Buffer.concat([head, body]);
  };
  const frame = Buffer.from([8, 0, 0, 0, 0, 1, 1, 0x11, 0]);
  frame.writeUInt16BE(pixels, 1);
  frame.writeUInt16BE(pixels, 3);
  return Buffer.concat([
    Buffer.from([0xff, 0xd8]),
    segment(0xe0, Buffer.from('JFIF\0')),
    segment(0xe1, Buffer.from(`Exif\0\0${place}`)),
    segment(0xfe, Buffer.from(`a comment ${place}`)),
    segment(0xdb, Buffer.alloc(65)),
    segment(0xc0, frame),
    segment(0xda, Buffer.from([1, 1, 0, 0, 63, 0])),
    // A stuffed 0xFF and a restart marker lie within the scan.
    Buffer.from([0x12, 0xff, 0x00, 0x34, 0xff, 0xd0]),
    Buffer.alloc(size, 0x55),
    segment(0xe2, Buffer.from(`between scans ${place}`)),
    segment(0xda, Buffer.from([1, 1, 0, 0, 63, 0])),
    Buffer.from([0x56, 0x78, 0xff, 0xd9]),
    Buffer.from(tail),
  ]);
}
