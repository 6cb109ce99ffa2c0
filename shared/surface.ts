/** A surface that a person points an infrared thermometer at. `doubt` says why its reading is not to be relied on. */
export type Surface = { id: string; label: string; emissivity: number; source: string; doubt?: string };

/** Why bare metal is not to be trusted. */
export const BARE_METAL =
  'bare bright metal mirrors its surroundings more than it shows its own heat: read off stone, or off a spot of soot';

/**
 * Total or 8–14 µm emissivity, the middle of the published range (handbook section 8: four instrument appendices; rows
 * marked so are common practice, no source).
 */
export const SURFACES: readonly Surface[] = [
  { id: 'cordierite', label: 'Cordierite stone', emissivity: 0.92, source: '0.90–0.95, recalled' },
  { id: 'fireclay', label: 'Fireclay or brick', emissivity: 0.94, source: '0.93–0.95, instrument tables' },
  { id: 'ceramic', label: 'Unglazed ceramic', emissivity: 0.92, source: '0.90–0.95, instrument tables' },
  { id: 'glazed', label: 'Glazed ceramic', emissivity: 0.9, source: '0.88–0.92, instrument tables' },
  {
    id: 'cast-iron',
    label: 'Seasoned cast iron',
    emissivity: 0.85,
    source: '0.6–0.95, instrument tables',
    doubt: 'seasoned iron varies from pan to pan: the true temperature may be 20 °C away',
  },
  {
    id: 'oxidised-steel',
    label: 'Oxidised steel',
    emissivity: 0.8,
    source: '0.7–0.9; 0.78–0.82 at 125–520 °C, instrument tables',
    doubt: 'oxidised steel varies: the true temperature may be 15 °C away',
  },
  {
    id: 'bare-steel',
    label: 'Bare steel',
    emissivity: 0.2,
    source: '0.05–0.3, instrument tables',
    doubt: BARE_METAL,
  },
  {
    id: 'stainless',
    label: 'Stainless steel',
    emissivity: 0.16,
    source: '0.16, instrument tables',
    doubt: BARE_METAL,
  },
  {
    id: 'aluminium',
    label: 'Aluminium',
    emissivity: 0.07,
    source: '0.07 polished, instrument tables',
    doubt: BARE_METAL,
  },
  {
    id: 'floury',
    label: 'Floury or burnt spot',
    emissivity: 0.92,
    source: 'common practice, no source',
    doubt: 'flour and burnt spots differ from the stone beside them: take the mean of several spots',
  },
];
