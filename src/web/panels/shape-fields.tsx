import { at, pathOf, put } from '../model/paths.js';
import { SHAPE_FORMS, shapeForm, startShape } from '../model/shape-forms.js';
import { ChoiceField, QuantityField } from './fields.js';

type Shape = Record<string, unknown>;

/** A shape by a few numbers. */
export function ShapeFields(props: { shape: Shape; unit: string; onChange(shape: Shape): void }) {
  const form = shapeForm(props.shape.kind);
  return (
    <>
      <ChoiceField
        label="Shape"
        value={form?.kind}
        options={SHAPE_FORMS.map((f) => ({ id: f.kind, label: f.label, note: f.help }))}
        placeholder={String(props.shape.kind ?? 'Choose')}
        onCommit={(kind) => props.onChange(startShape(shapeForm(kind)!))}
      />
      <div className="field-row">
        {form?.numbers.map(({ key, label, optional }) => (
          <QuantityField
            key={key}
            label={label}
            value={at(props.shape, pathOf(key)) as string | undefined}
            dimension="length"
            unit={props.unit}
            optional={optional ?? false}
            onCommit={(value) => props.onChange(put(props.shape, pathOf(key), value))}
          />
        ))}
      </div>
    </>
  );
}
