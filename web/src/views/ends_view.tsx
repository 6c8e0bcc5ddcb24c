// SPDX-License-Identifier: Apache-2.0
export function EndsView() {
  return <p>…</p>;
}
