// SPDX-License-Identifier: Apache-2.0
//
// What there is to choose from: patterns, yards and saw blades.
import { computed, effect, signal } from '@preact/signals';
import { api, asRefusal } from '../api/client';
import type { Blades, Pattern, SiteQuestion, Yard } from '../api/types';
import { catalogue, catalogues, units } from '../job/store';

export const patterns = signal<Pattern[]>([]);
export const yards = signal<Yard[]>([]);
export const blades = signal<Blades | null>(null);
/// What may be said of a site, by route.
export const siteQuestions = signal<Record<string, SiteQuestion[]>>({});
/// The job's yard; of several the first, whose sizes hold.
export const yard = computed(() => yards.value.find((each) => each.name === (catalogue.value || catalogues.value[0])) ?? null);

/// A planner that is away or busy is asked again, ever more seldom; what it does not know at all it is not asked for twice.
function untilAnswered<T>(ask: () => Promise<T>, take: (found: T) => void, wanted: () => boolean = () => true, pause = 1000): void {
  ask().then((found) => { if (wanted()) take(found); }, (error: unknown) => {
    const { kind } = asRefusal(error);
    if (kind !== 'missing' && kind !== 'job')
      setTimeout(() => { if (wanted()) untilAnswered(ask, take, wanted, Math.min(30000, pause * 2)); }, pause);
  });
}

export function fillShelves(): void {
  effect(() => {
    const [inUnits, at] = [units.value, catalogue.value || catalogues.value[0] || ''];
    const wanted = () => units.peek() === inUnits && (catalogue.peek() || catalogues.peek()[0] || '') === at;
    const ask = () => api.patterns(inUnits, at).catch((error: unknown) => {
      // A yard that is not known has no say in what there is.
      if (asRefusal(error).kind === 'job') return api.patterns(inUnits, '');
      throw error;
    });
    untilAnswered(ask, (found) => (patterns.value = found), wanted);
  });
  untilAnswered(api.site, (found) => (siteQuestions.value = found));
  untilAnswered(api.blades, (found) => (blades.value = found));
  untilAnswered(api.yards, (found) => (yards.value = found));
}
