// SPDX-License-Identifier: Apache-2.0
import type { Goods, Purchase } from '../api/types';
import { money } from '../base/figures';
import { printLength, sayLength } from '../base/length';
import { units } from '../job/store';
import { CuttingLayouts } from '../parts/cutting_layouts';
import { Figure } from '../parts/figure';
import { ThriftPanel } from '../parts/thrift_panel';
import { OfPlan } from '../parts/waiting';
import { explainBought, explainOffcut, explainPrice, explainTimber } from '../parts/reasons';
import { explain } from '../parts/why_dialog';

export function BuyingView() {
  return <OfPlan what="the purchase">{(now) => <Bought bought={now.answer.purchase} />}</OfPlan>;
}

function Bought({ bought }: { bought: Purchase }) {
  return (
    <div class="page-sheet">
      <ShoppingList bought={bought} />
      <ThriftPanel digits={bought.minor_digits ?? 2} />
      <section aria-label="Cutting">
        <h2>How to saw each length</h2>
        <p class="quiet">All to one scale. Hatched: off-cut. The gaps are the saw’s.</p>
        <CuttingLayouts cutting={bought.cutting} />
      </section>
      <Offcuts bought={bought} />
    </div>
  );
}

function ShoppingList({ bought }: { bought: Purchase }) {
  const say = (minor: number) => money(minor, bought.currency, bought.minor_digits ?? 2);
  return (
    <section aria-label="Shopping list">
      <h2>Shopping list</h2>
      <div class="table-wrap" tabIndex={0} role="region" aria-label="What to buy">
        <table>
          <thead><tr><th scope="col">What</th><th scope="col" class="num">How many</th><th scope="col" class="num">Each</th><th scope="col" class="num">Together</th></tr></thead>
          <tbody>
            {bought.timber.map((each) => (
              <tr key={`${each.section} ${each.length_mm} ${each.bundle ?? 1}`}>
                <td>{each.section}, {units.value === 'mm' ? `${(each.length_mm / 1000).toFixed(2)} m` : sayLength(each.length_mm, 'ft-in')}{each.bundle && <span class="quiet">, bundle of {each.bundle}</span>}</td>
                <td class="num"><Figure text={String(each.quantity)} label={`${each.section}, ${(each.length_mm / 1000).toFixed(2)} m`} onWhy={() => explainBought(bought, each.section, each.length_mm)} /></td>
                <td class="num">{say(each.unit_price_minor)}</td><td class="num">{say(each.quantity * each.unit_price_minor)}</td>
              </tr>
            ))}
            <tr class="subtotal"><th scope="row" colSpan={3}>timber</th><td class="num"><Figure text={say(bought.proof.cost_minor)} label="Timber" onWhy={() => explainTimber(bought)} /></td></tr>
            {[...bought.fixings, ...bought.ground, ...bought.extras].map((each) => <GoodsRow key={each.name} goods={each} say={say} />)}
          </tbody>
          <tfoot><tr><th scope="row" colSpan={3}>in all</th><td class="num"><Figure text={say(bought.total_minor)} label="In all" onWhy={explainPrice} /></td></tr></tfoot>
        </table>
      </div>
      {bought.price_note && <p class="quiet">{bought.price_note}</p>}
    </section>
  );
}

function GoodsRow({ goods, say }: { goods: Goods; say: (minor: number) => string }) {
  const needed = goods.needed === undefined ? [] : [`needed ${Number(goods.needed.toFixed(2))}, sold by the ${goods.unit ?? 'piece'}: ${goods.quantity} to buy`];
  return (
    <tr>
      <td>{goods.name}{goods.unit && goods.unit !== 'each' && <span class="quiet">, {goods.unit}</span>}</td>
      <td class="num">{needed.length > 0 ? <Figure text={String(goods.quantity)} label={goods.name} onWhy={() => explain(goods.name, needed)} /> : goods.quantity}</td>
      <td class="num">{say(goods.unit_price_minor)}</td>
      <td class="num">{say(goods.quantity * goods.unit_price_minor)}</td>
    </tr>
  );
}

function Offcuts({ bought }: { bought: Purchase }) {
  const usable = bought.cutting.filter((each) => each.offcut_mm >= 150);
  const size = (mm: number) => printLength(mm, units.value);
  return (
    <section aria-label="Off-cuts">
      <h2>Off-cuts worth keeping</h2>
      {usable.length === 0 ? <p>None of 150 mm or more.</p> : (
        <ul class="offcuts">
          {usable.map((each, i) => <li key={i}>{each.count > 1 ? `${each.count} × ` : ''}{each.section}, <Figure text={size(each.offcut_mm)} label={`off-cut of ${each.section}`} onWhy={() => explainOffcut(each)} /></li>)}
        </ul>
      )}
    </section>
  );
}
