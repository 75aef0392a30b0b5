import { type ReactNode, useEffect, useId, useState } from 'react';
import {
  Button,
  FieldError,
  Input,
  Label,
  ListBox,
  ListBoxItem,
  Popover,
  Select,
  SelectValue,
  Text,
  TextField,
  ToggleButton,
  ToggleButtonGroup,
} from 'react-aria-components';
import { type Dimension, parseQuantity } from '../../units/index.js';

/** Unit that a number typed without one is taken to be in: the one the field already shows. */
const unitIn = (text: string, otherwise: string): string =>
  /^[+-]?[\d.,]+(?:[eE][+-]?\d+)?\s*(.+)$/.exec(text.trim())?.[1] ?? otherwise;

/** A quantity as text with a unit. Commits on Enter or when left; a bare number keeps the unit that was there. */
export function QuantityField(props: {
  label: string;
  value: string | undefined;
  dimension: Dimension;
  unit: string;
  help?: ReactNode;
  optional?: boolean;
  placeholder?: string;
  onCommit(value: string | undefined): void;
}) {
  const { label, value, dimension, unit, help, optional, onCommit } = props;
  const [typed, setTyped] = useState(value ?? '');
  const [wrong, setWrong] = useState('');
  useEffect(() => {
    setTyped(value ?? '');
    setWrong('');
  }, [value]);
  const commit = () => {
    const text = typed.trim();
    if (text === (value ?? '')) return setWrong('');
    if (text === '' && optional) {
      setWrong('');
      return onCommit(undefined);
    }
    const whole = /^[+-]?[\d.,]+$/.test(text) ? `${text} ${unitIn(value ?? '', unit)}` : text;
    const read = parseQuantity(whole, dimension);
    if (!read.ok) return setWrong(read.problems[0]!.hint ?? read.problems[0]!.message);
    setWrong('');
    setTyped(whole);
    onCommit(whole);
  };
  return (
    <TextField className="field" value={typed} onChange={setTyped} isInvalid={wrong !== ''} onBlur={commit}>
      <Label>{label}</Label>
      <Input
        className="field-input"
        inputMode="text"
        autoComplete="off"
        placeholder={props.placeholder ?? ''}
        onKeyDown={(e) => e.key === 'Enter' && commit()}
      />
      {help ? (
        <Text slot="description" className="field-help">
          {help}
        </Text>
      ) : null}
      <FieldError className="field-error">{wrong}</FieldError>
    </TextField>
  );
}

/** A line of plain text, committed when left. */
export function LineField(props: {
  label: string;
  value: string;
  className?: string;
  onCommit(value: string): void;
}) {
  const [typed, setTyped] = useState(props.value);
  useEffect(() => setTyped(props.value), [props.value]);
  const commit = () => typed.trim() !== '' && typed !== props.value && props.onCommit(typed.trim());
  return (
    <TextField className={`field ${props.className ?? ''}`} value={typed} onChange={setTyped} onBlur={commit}>
      <Label>{props.label}</Label>
      <Input className="field-input" autoComplete="off" onKeyDown={(e) => e.key === 'Enter' && commit()} />
    </TextField>
  );
}

export interface Option {
  id: string;
  label: string;
  note?: string | undefined;
}

/** One of a list; the list opens over the page and takes arrows and first letters. */
export function ChoiceField(props: {
  label: string;
  value: string | undefined;
  options: Option[];
  help?: ReactNode;
  placeholder?: string;
  onCommit(id: string): void;
}) {
  return (
    <Select
      className="field"
      value={props.value ?? null}
      onChange={(key) => key !== null && props.onCommit(String(key))}
      placeholder={props.placeholder ?? 'Choose'}
    >
      <Label>{props.label}</Label>
      <Button className="field-input field-select">
        <SelectValue className="field-value" />
        <span aria-hidden="true" className="field-arrow" />
      </Button>
      {props.help ? (
        <Text slot="description" className="field-help">
          {props.help}
        </Text>
      ) : null}
      <Popover className="popover">
        <ListBox className="list" items={props.options}>
          {(o) => (
            <ListBoxItem id={o.id} textValue={o.label} className="list-item">
              <Text slot="label">{o.label}</Text>
              {o.note ? (
                <Text slot="description" className="list-note">
                  {o.note}
                </Text>
              ) : null}
            </ListBoxItem>
          )}
        </ListBox>
      </Popover>
    </Select>
  );
}

/** A few choices side by side, one of them on. */
export function Switch<T extends string>(props: {
  label: string;
  value: T;
  options: { id: T; label: string }[];
  onChange(value: T): void;
}) {
  const label = useId();
  return (
    <div className="switch">
      <span id={label} className="switch-label">
        {props.label}
      </span>
      <ToggleButtonGroup
        aria-labelledby={label}
        className="switch-group"
        disallowEmptySelection
        selectedKeys={[props.value]}
        onSelectionChange={(keys) => {
          const [key] = keys;
          if (key !== undefined) props.onChange(key as T);
        }}
      >
        {props.options.map((o) => (
          <ToggleButton key={o.id} id={o.id} className="switch-button">
            {o.label}
          </ToggleButton>
        ))}
      </ToggleButtonGroup>
    </div>
  );
}
