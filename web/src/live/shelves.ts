// SPDX-License-Identifier: Apache-2.0
//
// What there is to choose from: patterns, yards and saw blades.
import { computed, effect, signal } from '@preact/signals';
import { api } from '../api/client';
import type { Blades, Pattern, SiteQuestion, Yard } from '../api/types';
import { catalogue, catalogues, units } from '../job/store';

export const patterns = signal<Pattern[]>([]);
export const yards = signal<Yard[]>([]);
export const blades = signal<Blades | null>(null);
/// What may be said of a site, by route.
export const siteQuestions = signal<Record<string, SiteQuestion[]>>({});
/// The job's yard; of several the first, whose sizes hold.
export const yard = computed(() => yards.value.find((each) => each.name === (catalogue.value || catalogues.value[0])) ?? null);

export function fillShelves(): void {
  effect(() => {
    const asked = `${units.value} ${catalogue.value}`;
    void api.patterns(units.value, catalogue.value).catch(() => api.patterns(units.peek(), '')).then((found) => {
      if (asked === `${units.peek()} ${catalogue.peek()}`) patterns.value = found;
    }, () => undefined);
  });
  void api.site().then((found) => (siteQuestions.value = found), () => undefined);
  void api.blades().then((found) => (blades.value = found), () => undefined);
  void api.yards().then((found) => (yards.value = found), () => undefined);
}
