// SPDX-License-Identifier: Apache-2.0
export function BenchView() {
  return <p>…</p>;
}
