import { useState } from 'react';
import { AimEntry } from './aim-entry.js';
import { AnodesEntry } from './anodes-entry.js';
import { BathEntry } from './bath-entry.js';
import type { EntryProps } from './entry-props.js';
import { HookEntry } from './hook-entry.js';
import { PartEntry } from './part-entry.js';
import { SupplyEntry } from './supply-entry.js';
import { VesselEntry } from './vessel-entry.js';

/** The entries of a job, in the order people decide them; one is open at a time. */
export function SetupEntries(props: Omit<EntryProps, 'id' | 'open' | 'onOpen'>) {
  const [open, setOpen] = useState<string>();
  const entry = (id: string) => ({
    id,
    open: open === id,
    onOpen: (yes: boolean) => setOpen(yes ? id : undefined),
  });
  return (
    <div className="entries">
      <PartEntry {...props} {...entry('part')} />
      <BathEntry {...props} {...entry('bath')} />
      <AimEntry {...props} {...entry('aim')} />
      <VesselEntry {...props} {...entry('vessel')} />
      <HookEntry {...props} {...entry('hook')} />
      <AnodesEntry {...props} {...entry('anodes')} />
      <SupplyEntry {...props} {...entry('supply')} />
    </div>
  );
}
