package org.bathwarden.dosing;

import java.time.Duration;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;

/**
 * The cause and effect table of a tank: the one place that says what stops what. It feeds the
 * interlocks, the printed matrix and the generated tests.
 *
 * @param rows one row for each cause, in the order printed
 */
public record CauseAndEffect(List<Row> rows) {

  /** Copies the list. */
  public CauseAndEffect {
    rows = List.copyOf(rows);
  }

  /**
   * One cause and its effects.
   *
   * @param cause which
   * @param description what it is, for people
   * @param onDelay how long it must be there before it acts
   * @param offDelay how long it must be gone before a block ends
   * @param concentrate what it does to concentrate
   * @param water what it does to make-up water
   * @param dropsMode whether command mode drops to propose
   * @param escalation what makes it more than that, if anything
   * @param bypass lowest role that may bypass it; empty: nobody ever may
   * @param voting how many of the signs that are looked at must say so
   * @param permits permits it reads
   * @param inputs measured points it reads
   */
  public record Row(
      Cause cause,
      String description,
      Duration onDelay,
      Duration offDelay,
      Effect concentrate,
      Effect water,
      boolean dropsMode,
      Optional<Escalation> escalation,
      Optional<Role> bypass,
      Voting voting,
      Set<Permit> permits,
      Set<Point> inputs) {

    /** Copies the sets. */
    public Row {
      permits = Set.copyOf(permits);
      inputs = Set.copyOf(inputs);
    }

    /** What the cause does to {@code product}. */
    public Effect on(Product product) {
      return product == Product.CONCENTRATE ? concentrate : water;
    }

    /** Whether the cause forbids {@code product} while it acts. */
    boolean blocks(Product product) {
      return on(product) instanceof Effect.Block || on(product) instanceof Effect.Latch;
    }
  }

  /**
   * How many signs of a cause must agree; {@link Causes} looks at them.
   *
   * @param needed how many must say so
   * @param of how many are looked at
   */
  public record Voting(int needed, int of) {

    /** One sign is enough, and there is no other. */
    static final Voting ONE = new Voting(1, 1);
  }

  /**
   * What makes a cause drop the mode, and perhaps latch both products.
   *
   * @param times how often it must begin within {@code window}; 1 means: acts that long
   * @param window the window, or how long it must act
   * @param latches role that resets the latch on both products; empty if only the mode drops
   */
  public record Escalation(int times, Duration window, Optional<Role> latches) {}

  /** The default table: common practice and judgement, to be rationalised on site. */
  public static CauseAndEffect standard() {
    return new CauseAndEffect(StandardTable.rows());
  }

  /** The row of {@code cause}. */
  public Optional<Row> row(Cause cause) {
    return rows.stream().filter(row -> row.cause() == cause).findFirst();
  }

  /**
   * Measured points whose loss abandons a running order of {@code product} at once: those that are
   * read by a row which can stop it. The loss of pH or conductivity has a row of its own that does
   * less, so no other row names them here.
   */
  public Set<Point> inputsOf(Product product) {
    Set<Point> named = EnumSet.noneOf(Point.class);
    Set<Point> milder = EnumSet.noneOf(Point.class);
    for (Row row : rows) {
      if (stops(row.on(product))) {
        named.addAll(row.inputs());
      } else if (row.inputs().size() == 1 && row.cause().lossOfInput()) {
        milder.addAll(row.inputs());
      }
    }
    named.removeAll(milder);
    return named;
  }

  private static boolean stops(Effect effect) {
    return effect instanceof Effect.Block || effect instanceof Effect.Latch;
  }
}
