/** What a device calls itself, without what a terminal would obey: control and direction characters (ECMA-48, UAX #9). */
export const plain = (text: string): string =>
  // eslint-disable-next-line no-control-regex -- these are what is taken out
  text.replaceAll(/[\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, '\ufffd');
