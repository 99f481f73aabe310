/** What a worker answers about plans and shops as a whole. */
import type { Band, PlateOf, ShopAnswers, ShopRequest, Way } from './shopProtocol';
import type * as Glue from '../../generated/page';

declare const wasm_bindgen: typeof Glue;

function take(shop: Glue.Shop, { plan, shares }: PlateOf): void {
  shop.take(plan, Float64Array.from(shares));
}

export function shopAnswer(shop: Glue.Shop, ask: ShopRequest): ShopAnswers[keyof ShopAnswers] {
  switch (ask.do) {
    case 'qr':
      return { dark: wasm_bindgen.qr_code(ask.address) };
    case 'bath_state':
      return JSON.parse(shop.bath_state(ask.strength_be, ask.copper_g_per_l, JSON.stringify(ask.calibration))) as ShopAnswers['bath_state'];
    case 'mixed_be':
      return { strength_be: shop.mixed_be(ask.reading_be, ask.temp_c, ask.copper_g_per_l, JSON.stringify(ask.calibration)) };
    case 'wanted':
      take(shop, ask);
      return { wanted_l: JSON.parse(shop.wanted(Uint32Array.from(ask.histogram))) as number[] };
    case 'backwards':
      take(shop, ask);
      return JSON.parse(shop.backwards(Float64Array.from(ask.wanted_l), Float64Array.from(ask.bitten_min), ask.timed)) as ShopAnswers['backwards'];
    case 'same_values':
      take(shop, ask);
      return JSON.parse(shop.same_values(ask.before, ask.timed)) as ShopAnswers['same_values'];
    case 'grain':
      take(shop, ask);
      return JSON.parse(shop.grain(ask.footprint_um, ask.domes_per_mm2, ask.cover)) as ShopAnswers['grain'];
    case 'draws': {
      const spread = typeof ask.spread === 'string' ? ask.spread : JSON.stringify(ask.spread);
      return { lightness: [...shop.draws(ask.plan, Float64Array.from(ask.shares), spread, ask.from, ask.count)] };
    }
    case 'bench':
      return JSON.parse(shop.bench(ask.plan, Float64Array.from(ask.shares), ask.floor_m2, ask.impressions)) as ShopAnswers['bench'];
    case 'bites_to_go':
      return JSON.parse(shop.bites_to_go(ask.plan, Float64Array.from(ask.shares), Float64Array.from(ask.ran_min), Float64Array.from(ask.target_l))) as ShopAnswers['bites_to_go'];
    case 'step_plate':
      return JSON.parse(shop.step_plate(ask.plan, ask.steps)) as ShopAnswers['step_plate'];
    case 'read_photo':
      return JSON.parse(shop.read_photo(ask.rgba, ask.width, ask.steps, Float64Array.from(ask.corners), Float64Array.from(ask.black), ask.paper_reflectance)) as ShopAnswers['read_photo'];
    case 'ready_to_calibrate':
      shop.ready_to_calibrate(ask.plan, Float64Array.from(ask.bite_min));
      return {};
    case 'calibrate':
      return JSON.parse(shop.calibrate(ask.plan, Float64Array.from(ask.bite_min), ask.kind, Float64Array.from(ask.readings, (one) => one ?? NaN))) as ShopAnswers['calibrate'];
    case 'bands':
      return { bands: JSON.parse(shop.bands(Float64Array.from(ask.draws), ask.values)) as Band[] };
    case 'edition':
      return JSON.parse(shop.edition(ask.plan, Float64Array.from(ask.shares), ask.state)) as ShopAnswers['edition'];
    case 'ways':
      return { ways: JSON.parse(shop.ways(ask.plan, Float64Array.from(ask.shares), ask.state, ask.value, Float32Array.from(ask.amounts), ask.wished)) as Way[] };
  }
}
