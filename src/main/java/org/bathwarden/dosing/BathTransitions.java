package org.bathwarden.dosing;

import static org.bathwarden.dosing.Needs.say;
import static org.bathwarden.tank.BathState.CHARGING;
import static org.bathwarden.tank.BathState.DRAINING;
import static org.bathwarden.tank.BathState.EMPTY;
import static org.bathwarden.tank.BathState.IN_USE;
import static org.bathwarden.tank.BathState.OUT_OF_USE;
import static org.bathwarden.tank.BathState.STOOD_DOWN;
import static org.bathwarden.tank.BathState.WARMING;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Role;

/**
 * Which bath state may follow which, who may say so, and what must hold. What is not in the table
 * is refused with the way that is.
 */
public final class BathTransitions {

  /** What must hold. */
  public enum Holds {
    /** A step of a procedure brings it about; nobody simply enters it. */
    BY_STEP,
    /** No procedure is open, unless one of its steps brings it about. */
    NO_PROCEDURE,
    /** What is in the tank was told: a charge came to its cold mark, or {@code charge} was told. */
    CHARGE_TOLD,
    /** The level, if it is known, is that of an empty tank. */
    EMPTIED,
    /** The level, if it is known, is not below the minimum operating level. */
    FILLED,
    /** The drain is closed. */
    DRAIN_CLOSED
  }

  /**
   * One row.
   *
   * @param who least role
   * @param holds what must hold
   * @param way what to do if it does not
   */
  public record Row(BathState from, BathState to, Role who, Set<Holds> holds, String way) {
    /** Copies the set. */
    public Row {
      holds = Set.copyOf(holds);
    }
  }

  /**
   * What is known where a transition is asked for.
   *
   * @param byStep whether a step of a procedure asks
   * @param procedureOpen whether a procedure is open
   * @param chargeTold whether it was told what is in the tank
   * @param levelL level, L; NaN if unknown
   * @param emptyL level up to which it is empty, L
   * @param minimumL minimum operating level, L
   * @param drainClosed whether the drain is closed
   */
  record Facts(
      boolean byStep,
      boolean procedureOpen,
      boolean chargeTold,
      double levelL,
      double emptyL,
      double minimumL,
      boolean drainClosed) {

    boolean hold(Holds what) {
      return switch (what) {
        case BY_STEP -> byStep;
        case NO_PROCEDURE -> byStep || !procedureOpen;
        case CHARGE_TOLD -> chargeTold;
        case EMPTIED -> !(levelL > emptyL);
        case FILLED -> !(levelL < minimumL);
        case DRAIN_CLOSED -> drainClosed;
      };
    }

    String words(Holds what) {
      return switch (what) {
        case BY_STEP -> "it is a step of a procedure";
        case NO_PROCEDURE -> "a procedure is open";
        case CHARGE_TOLD -> "it was not told what is in the tank";
        case EMPTIED -> say("the level shows %.0f L and empty is up to %.0f L", levelL, emptyL);
        case FILLED -> say("the level shows %.0f L, less than %.0f L", levelL, minimumL);
        case DRAIN_CLOSED -> "the drain is not closed";
      };
    }
  }

  private static final String CHARGE = "procedure_begin charge";
  private static final String DRAIN = "procedure_begin drain";
  private static final String SHUT = "close the drain, and look into the tank";
  private static final String FINISH = "finish its steps, or procedure_abandon";

  private static final List<Row> ROWS = table();

  private BathTransitions() {}

  private static List<Row> table() {
    List<Row> rows = new ArrayList<>();
    row(rows, EMPTY, CHARGING, Role.OPERATOR, CHARGE, Holds.BY_STEP);
    String told = "finish the charge, or enter charge with what was made up";
    row(rows, CHARGING, WARMING, Role.OPERATOR, told, Holds.CHARGE_TOLD);
    row(rows, CHARGING, STOOD_DOWN, Role.OPERATOR, told, Holds.CHARGE_TOLD);
    row(rows, CHARGING, DRAINING, Role.OPERATOR, DRAIN, Holds.BY_STEP);
    row(rows, WARMING, IN_USE, Role.OPERATOR, FINISH, Holds.NO_PROCEDURE);
    row(rows, WARMING, STOOD_DOWN, Role.OPERATOR, "");
    row(rows, WARMING, DRAINING, Role.OPERATOR, DRAIN, Holds.BY_STEP);
    row(rows, IN_USE, WARMING, Role.OPERATOR, "");
    row(rows, IN_USE, STOOD_DOWN, Role.OPERATOR, "");
    row(rows, IN_USE, DRAINING, Role.OPERATOR, DRAIN, Holds.BY_STEP);
    row(rows, STOOD_DOWN, WARMING, Role.OPERATOR, FINISH, Holds.NO_PROCEDURE);
    row(rows, STOOD_DOWN, IN_USE, Role.OPERATOR, FINISH, Holds.NO_PROCEDURE);
    row(rows, STOOD_DOWN, DRAINING, Role.OPERATOR, DRAIN, Holds.BY_STEP);
    row(
        rows,
        DRAINING,
        EMPTY,
        Role.OPERATOR,
        "its step drain, or procedure_abandon",
        Holds.NO_PROCEDURE,
        Holds.EMPTIED,
        Holds.DRAIN_CLOSED);
    row(
        rows,
        DRAINING,
        STOOD_DOWN,
        Role.OPERATOR,
        "its step drain, or procedure_abandon",
        Holds.NO_PROCEDURE,
        Holds.DRAIN_CLOSED);
    for (BathState from : BathState.values()) {
      if (from != OUT_OF_USE) {
        row(rows, from, OUT_OF_USE, Role.OPERATOR, "");
      }
    }
    row(rows, OUT_OF_USE, EMPTY, Role.CHEMIST, SHUT, Holds.EMPTIED, Holds.DRAIN_CLOSED);
    row(rows, OUT_OF_USE, STOOD_DOWN, Role.CHEMIST, SHUT, Holds.FILLED, Holds.DRAIN_CLOSED);
    return List.copyOf(rows);
  }

  private static void row(
      List<Row> rows, BathState from, BathState to, Role who, String way, Holds... holds) {
    Set<Holds> all = EnumSet.noneOf(Holds.class);
    all.addAll(List.of(holds));
    rows.add(new Row(from, to, who, all, way));
  }

  /** The table. */
  public static List<Row> rows() {
    return ROWS;
  }

  private static Optional<Row> row(BathState from, BathState to) {
    return ROWS.stream().filter(row -> row.from() == from && row.to() == to).findFirst();
  }

  /** Why the bath does not pass from one state to the other now, and the way; empty if it does. */
  static Optional<String> refusal(BathState from, BathState to, Role role, Facts facts) {
    String what = "a bath does not pass from " + words(from) + " to " + words(to);
    Optional<Row> found = row(from, to);
    if (found.isEmpty()) {
      return Optional.of(what + "; the way: " + way(from, to));
    }
    Row row = found.get();
    if (role.compareTo(row.who()) < 0) {
      return Optional.of(what + " unless a " + words(row.who()) + " says so");
    }
    String missing =
        row.holds().stream()
            .sorted()
            .filter(each -> !facts.hold(each))
            .map(facts::words)
            .collect(Collectors.joining(", "));
    return missing.isEmpty()
        ? Optional.empty()
        : Optional.of(what + " now: " + missing + "; the way: " + row.way());
  }

  /** The shortest way through the table. */
  private static String way(BathState from, BathState to) {
    Map<BathState, BathState> cameFrom = new EnumMap<>(BathState.class);
    List<BathState> reached = new ArrayList<>(List.of(from));
    for (int i = 0; i < reached.size() && !cameFrom.containsKey(to); i++) {
      for (Row row : ROWS) {
        if (row.from() == reached.get(i) && !reached.contains(row.to())) {
          cameFrom.put(row.to(), row.from());
          reached.add(row.to());
        }
      }
    }
    String way = words(to);
    BathState at = to;
    while (cameFrom.containsKey(at) && cameFrom.get(at) != from) {
      at = cameFrom.getOrDefault(at, from);
      way = words(at) + ", " + way;
    }
    return way;
  }

  static String words(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }
}
