package org.bathwarden.tank;

/** What the tank is doing; decides what may be dosed. */
public enum BathState {
  /** No liquid; nothing is dosed, only a person starts a charge. */
  EMPTY,
  /** Being filled fresh by a person. */
  CHARGING,
  /** Heating up; water only to hold the low-level point. */
  WARMING,
  /** Washing parts; the only state with automatic concentrate. */
  IN_USE,
  /** Full but not washing; water only to hold the low-level point. */
  STOOD_DOWN,
  /** Being emptied by a person. */
  DRAINING,
  /** Taken out of use. */
  OUT_OF_USE
}
