package org.bathwarden.tank;

/** Metals that are washed; their limits differ. */
public enum Metal {
  /** Steel and cast iron. */
  STEEL,
  /** Stainless steel. */
  STAINLESS,
  /** Copper and its alloys, brass among them. */
  COPPER,
  /** Aluminium and its alloys: gives hydrogen in strong alkali. */
  ALUMINIUM,
  /** Zinc and galvanised parts: gives hydrogen in strong alkali. */
  ZINC,
  /** Magnesium: wants a high pH. */
  MAGNESIUM;

  /** Whether the tighter cap on concentrate applies: aluminium, zinc, magnesium and brass. */
  public boolean sensitive() {
    return this != STEEL && this != STAINLESS;
  }

  /** Whether strong alkali gives hydrogen on it. */
  public boolean light() {
    return this == ALUMINIUM || this == ZINC || this == MAGNESIUM;
  }
}
