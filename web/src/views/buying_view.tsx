// SPDX-License-Identifier: Apache-2.0
export function BuyingView() {
  return <p>…</p>;
}
