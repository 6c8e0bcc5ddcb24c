// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from 'preact/hooks';

/// Keeps the screen on while the bench is open. True while it holds; browsers refuse without https or this machine.
export function useScreenOn(): boolean {
  const [on, setOn] = useState(false);
  useEffect(() => {
    let lock: WakeLockSentinel | null = null;
    let left = false;
    const take = async () => {
      if (document.visibilityState !== 'visible' || !('wakeLock' in navigator)) return;
      try {
        lock = await navigator.wakeLock.request('screen');
        if (left) return void lock.release();
        lock.addEventListener('release', () => setOn(false));
        setOn(true);
      } catch {
        setOn(false);
      }
    };
    void take();
    const again = () => void take();
    document.addEventListener('visibilitychange', again);
    return () => {
      left = true;
      document.removeEventListener('visibilitychange', again);
      void lock?.release();
    };
  }, []);
  return on;
}
