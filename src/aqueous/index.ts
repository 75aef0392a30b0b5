/** What is in the water: species, equilibrium, conductivity, density, colour. May import units and numerics. Theory: docs/theory/aqueous.md */
export {};
