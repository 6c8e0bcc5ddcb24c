// SPDX-License-Identifier: Apache-2.0
export function CompareView() {
  return <p>…</p>;
}
