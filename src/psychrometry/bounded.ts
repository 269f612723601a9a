import type { SaturationFormula } from './saturationFormula.js';

/**
 * The same formula, answering NaN outside its ranges. The inverses answer for the vapour pressures that lie in
 * the range, the frost point only for those below ice saturation at 0 °C.
 */
export function bounded(formula: SaturationFormula): SaturationFormula {
  const { water, ice, dewPoint, frostPoint, slopeWater, slopeIce } = formula;
  const [coldestWater, hottestWater] = formula.waterRange;
  const [coldestIce, hottestIce] = formula.iceRange;
  const driestWater = water(coldestWater);
  const dampestWater = water(hottestWater);
  const driestIce = ice(coldestIce);
  const dampestIce = ice(0);
  return {
    name: formula.name,
    source: formula.source,
    waterRange: formula.waterRange,
    iceRange: formula.iceRange,
    water: (t) => (t >= coldestWater && t <= hottestWater ? water(t) : Number.NaN),
    ice: (t) => (t >= coldestIce && t <= hottestIce ? ice(t) : Number.NaN),
    dewPoint: (e) => (e >= driestWater && e <= dampestWater ? dewPoint(e) : Number.NaN),
    frostPoint: (e) => (e >= driestIce && e < dampestIce ? frostPoint(e) : Number.NaN),
    slopeWater: (t) => (t >= coldestWater && t <= hottestWater ? slopeWater(t) : Number.NaN),
    slopeIce: (t) => (t >= coldestIce && t <= hottestIce ? slopeIce(t) : Number.NaN),
  };
}
