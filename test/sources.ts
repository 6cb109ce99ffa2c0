/** What the code and its checks rest on from outside, and how a comment beside them names it. */
export type Source = { name: string; mention: RegExp };

const of = (name: string, mention: RegExp): Source => ({ name, mention });

/** A source that is named beside a check and is missing here fails the test of this list. */
export const SOURCES: readonly Source[] = [
  of(
    'IETF RFC 1918, 6598, 3927, 1122, 4193, 4291, 8981: addresses of networks at home',
    /RFC (?:1918|4193|4291|8981)/,
  ),
  of('IETF RFC 2104: HMAC', /RFC 2104/),
  of('IETF RFC 3986: URI', /RFC 3986/),
  of('IETF RFC 4180: CSV', /RFC 4180/),
  of('IETF RFC 4648: base 64', /RFC 4648/),
  of('IETF RFC 5234: ABNF', /RFC 5234/),
  of('IETF RFC 5280, 5758, 7093: X.509 certificates', /RFC (?:5280|5758|7093)/),
  of('IETF RFC 6265bis: cookies', /RFC 6265/),
  of('IETF RFC 6455: WebSocket', /RFC 6455/),
  of('IETF RFC 6901: JSON Pointer', /RFC 6901/),
  of('IETF RFC 9110: HTTP semantics', /RFC 9110/),
  of('IETF RFC 9457: problem details', /RFC 9457/),
  of('ISO 2533: standard atmosphere', /ISO 2533/),
  of('ISO 8601: times as text', /ISO 8601/),
  of('ISO 8859-1: the text of published tables', /ISO 8859/),
  of('ISO 32000: PDF', /ISO 32000/),
  of('ISO/IEC 18004: QR codes', /ISO\/IEC 18004/),
  of('ECMA-48: control sequences of terminals', /ECMA-48/),
  of('IEC 60751: platinum resistance thermometers', /(?:IEC|EN) 60751/),
  of('IEC 60584-1 and -2: thermocouples, tolerances and colours', /IEC 60584-[12]/),
  of('NIST Monograph 175: ITS-90 reference functions of thermocouples', /NIST Monograph 175|ITS-90/),
  of('ISA-18.2, IEC 62682: alarm management', /ISA-18\.2|IEC 62682/),
  of('IEEE 754: floating point', /IEEE 754/),
  of('IEEE 11073-20601: numbers of medical devices', /IEEE 11073/),
  of(
    'Bluetooth SIG: Health Thermometer, Environmental Sensing, Battery; GATT Specification Supplement',
    /Bluetooth SIG/,
  ),
  of('BTHome, version 2: open format of advertisements', /BTHome v2|BTHome version 2/),
  of('Modbus over Serial Line, version 1.02', /MODBUS over Serial Line/i),
  of('OASIS MQTT 3.1.1 and 5', /MQTT (?:3\.1\.1|5)/),
  of('OpenAPI 3.1', /OpenAPI 3\.1/),
  of('AsyncAPI 3.0', /AsyncAPI 3/),
  of('OpenMetrics 1.0.0', /OpenMetrics 1\.0\.0/),
  of('JSON Schema 2020-12', /JSON Schema 2020-12/),
  of('W3C WCAG 2.2', /WCAG/),
  of('OWASP ASVS', /ASVS/),
  of('Abramowitz & Stegun, Handbook of Mathematical Functions (1964)', /Abramowitz & Stegun/),
  of('Bacher & Madsen, Energy and Buildings 43 (2011): grey-box models of buildings', /Bacher & Madsen/),
  of('Madsen & Holst, Energy and Buildings 22 (1995): their estimation', /Madsen & Holst/),
  of(
    'Alspach & Sorenson, IEEE Trans. Automatic Control 17 (1972): Gaussian sum filter',
    /Alspach & Sorenson/,
  ),
  of('Steinhart & Hart, Deep-Sea Research 15 (1968): thermistors', /Steinhart & Hart/),
  of('Glatz & Grasso, arXiv 1806.08790 (2018): baking on brick and steel', /Glatz & Grasso/),
  of('Peri & Bruno (1995): browning', /Peri & Bruno/),
  of(
    'Rosso et al., Journal of Theoretical Biology 162 (1993): growth by cardinal temperatures',
    /Rosso et al/,
  ),
  of('Salvadó et al. (2011): cardinal temperatures of yeast', /Salvadó et al/),
  of('Regulation (EU) 97/2010, annex: Neapolitan pizza', /Reg\. \(EU\) 97\/2010/),
  of('Associazione Verace Pizza Napoletana, regulations: sourdough', /Associazione Verace Pizza Napoletana/),
  of(
    'US Consumer Product Safety Commission, document 5012, release 99-051',
    /Consumer Product Safety Commission/,
  ),
  of(
    'US Department of Agriculture, Food Safety and Inspection Service',
    /Food Safety and Inspection Service|Department of Agriculture/,
  ),
  of('US Food and Drug Administration: raw flour', /Food and Drug Administration/),
  of('UK Food Standards Agency', /Food Standards Agency/),
  of('Model fire code 308.1.4', /fire code 308/),
  of('Tables that come with infrared thermometers: emissivities', /instrument tables/),
  of('Textbooks of heat transfer, control and statistics, by the formula beside the check', /textbook/i),
  of('Common practice, no source', /common practice/i),
  of('From memory, to be held against its source', /from memory|recalled/i),
];

/** How standards are named; each that is named somewhere belongs to a source above. */
export const STANDARD =
  /\b(?:RFC \d+|ISO(?:\/IEC)? \d{4,}|IEC \d+|EN \d{4,}|IEEE \d+|ISA-\d+|ECMA-\d+|ITS-90|NIST [A-Z]\w+ \d+|WCAG|ASVS)\b/g;
