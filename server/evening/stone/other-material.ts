import type { Band } from '../../../shared/engine.ts';
import type { StoneSetup } from '../../../shared/evening/evening.ts';
import { temperatureText, type Unit } from '../../../shared/units.ts';
import { contact, stoneFor, touchOf } from './contact-temperature.ts';
import { MATERIAL_PROPERTIES } from './materials.ts';

type Plate = Pick<StoneSetup, 'material' | 'thicknessMm'>;

/** The stone that the usual band is meant for. */
const USUAL_PLATE: Plate = { material: 'cordierite', thicknessMm: 15 };
/**
 * A steel at 230 °C bakes a base as brick at 330 °C does (Varlamov, Glatz & Grasso 2018); of colder plates nothing is
 * published, and a base stays pale: a band begins no lower than this, °C.
 */
const MIN_BAND_CELSIUS = 225;

/** Heat that a plate holds, J/m²K. */
const heatOf = ({ material, thicknessMm }: Plate): number => {
  const { rho, c } = MATERIAL_PROPERTIES[material];
  return (rho * c * thicknessMm) / 1000;
};

/**
 * Where to begin with another plate, °C: our estimate, between two that are too simple. As hot a contact in the first
 * moment (two half-infinite bodies) is right for a plate that does not run empty; the same temperature for one that
 * does, whose heat comes from below and above. Its own heat against the usual stone's says where between. Whole °C.
 */
export function startingBand(band: Band, to: Plate): Band {
  const middle = (band[0] + band[1]) / 2;
  const sameContact = stoneFor(contact(middle, touchOf(USUAL_PLATE.material)), touchOf(to.material));
  const lasts = heatOf(to) / (heatOf(to) + heatOf(USUAL_PLATE));
  const half = (band[1] - band[0]) / 2;
  const lowest = Math.min(MIN_BAND_CELSIUS, band[0]);
  const low = Math.round(Math.max(lowest, middle + lasts * (sameContact - middle) - half));
  return [low, low + Math.round(2 * half)];
}

/** What another plate means for the bake, in words; empty where nothing is known to differ. */
export function startingText(band: Band, to: Plate, unit: Unit = 'C'): string {
  if (to.material === USUAL_PLATE.material) return '';
  const [low, high] = startingBand(band, to).map((celsius) => temperatureText(celsius, unit));
  const { label } = MATERIAL_PROPERTIES[to.material];
  const begin = `begin at ${low} to ${high}`;
  const isQuicker = touchOf(to.material).stone > touchOf(USUAL_PLATE.material).stone;
  const how = isQuicker
    ? `gives its heat to the base faster than cordierite: ${begin}, look from half of your usual time on, and leave the dome where it is, or the top falls behind`
    : `gives its heat to the base more slowly than cordierite: ${begin}, and let it soak longer`;
  return `${label[0]?.toUpperCase()}${label.slice(1)} ${how}. Our estimate: your own time and verdicts put it right.`;
}
