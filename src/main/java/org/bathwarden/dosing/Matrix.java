package org.bathwarden.dosing;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.dosing.CauseAndEffect.Escalation;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;

/** The cause and effect table, printed. What is printed is what is evaluated. */
public final class Matrix {

  /** Column names, in the order printed. */
  public static final List<String> COLUMNS =
      List.of(
          "cause",
          "description",
          "reads",
          "voting",
          "on_delay_s",
          "off_delay_s",
          "concentrate",
          "water",
          "command_mode",
          "reset",
          "bypass");

  private Matrix() {}

  /**
   * The table of one tank.
   *
   * @param name the tank's name
   * @param table its table
   * @param notWired its permits that are mapped to a constant
   */
  public record Tank(String name, CauseAndEffect table, Set<Permit> notWired) {
    /** Copies the set. */
    public Tank {
      notWired = Set.copyOf(notWired);
    }
  }

  /**
   * The table's cells, one list for each row, in the order of {@link #COLUMNS}.
   *
   * @param notWired permits mapped to a constant: printed as {@code not wired}
   */
  public static List<List<String>> cells(CauseAndEffect table, Set<Permit> notWired) {
    return table.rows().stream().map(row -> cells(row, notWired)).toList();
  }

  /** The table as Markdown. */
  public static String markdown(CauseAndEffect table, Set<Permit> notWired) {
    StringBuilder text = new StringBuilder();
    text.append("| ").append(String.join(" | ", COLUMNS)).append(" |\n");
    text.append("| --- ".repeat(COLUMNS.size())).append("|\n");
    for (List<String> row : cells(table, notWired)) {
      text.append("| ").append(String.join(" | ", row)).append(" |\n");
    }
    return text.toString();
  }

  /**
   * The tables of several tanks as CSV with a header line, RFC 4180; the first column is the tank.
   */
  public static String csv(List<Tank> tanks) {
    StringBuilder text =
        new StringBuilder("tank,").append(String.join(",", COLUMNS)).append("\r\n");
    for (Tank tank : tanks) {
      for (List<String> row : cells(tank.table(), tank.notWired())) {
        text.append(quoted(tank.name())).append(',');
        text.append(row.stream().map(Matrix::quoted).collect(Collectors.joining(",")));
        text.append("\r\n");
      }
    }
    return text.toString();
  }

  private static String quoted(String cell) {
    boolean plain = cell.chars().noneMatch(c -> c == ',' || c == '"' || c == '\n' || c == '\r');
    return plain ? cell : '"' + cell.replace("\"", "\"\"") + '"';
  }

  private static List<String> cells(Row row, Set<Permit> notWired) {
    return List.of(
        row.cause().key(),
        row.description(),
        reads(row, notWired),
        row.voting().needed() + "oo" + row.voting().of(),
        seconds(row.onDelay()),
        seconds(row.offDelay()),
        word(row.concentrate()),
        word(row.water()),
        mode(row),
        reset(row),
        row.bypass().map(role -> "from " + name(role)).orElse("never"));
  }

  private static String reads(Row row, Set<Permit> notWired) {
    List<String> reads = new ArrayList<>();
    for (Permit permit : row.permits()) {
      String name = permit.name().toLowerCase(Locale.ROOT);
      reads.add(notWired.contains(permit) ? name + " (not wired)" : name);
    }
    row.inputs().forEach(point -> reads.add(point.item()));
    return String.join(" ", reads);
  }

  private static String word(Effect effect) {
    if (effect instanceof Effect.Block) {
      return "blocked while true";
    }
    if (effect instanceof Effect.Restrict restrict) {
      return restriction(restrict.to());
    }
    return effect instanceof Effect.Latch ? "latched" : "–";
  }

  /** What ends a latch; a block ends by itself. */
  private static String reset(Row row) {
    for (Product product : Product.values()) {
      if (row.on(product) instanceof Effect.Latch latch) {
        return by(latch.by()) + name(latch.role());
      }
    }
    return "by itself";
  }

  private static String by(Effect.By by) {
    return switch (by) {
      case RESET -> "";
      case RESET_AFTER_TITRATION -> "after an accepted titration: ";
      case RELEASE -> "fresh release: ";
    };
  }

  private static String restriction(Restriction restriction) {
    return switch (restriction) {
      case REDUCED_CAPS -> "reduced caps";
      case TO_LOW_LEVEL -> "only to hold the low-level point";
      case TO_WORKING_LEVEL -> "only below the working level";
      case EVAPORATION_SHARE -> "evaporation share only";
    };
  }

  private static String mode(Row row) {
    String always = row.dropsMode() ? "drops to propose" : "–";
    return row.escalation().map(escalation -> escalated(escalation)).orElse(always);
  }

  private static String escalated(Escalation escalation) {
    long minutes = escalation.window().toMinutes();
    String when =
        escalation.times() > 1
            ? escalation.times() + " in " + minutes + " min"
            : "longer than " + minutes + " min";
    String latch =
        escalation.latches().map(role -> "; both latched, reset: " + name(role)).orElse("");
    return when + ": drops to propose" + latch;
  }

  private static String name(Role role) {
    return role.name().toLowerCase(Locale.ROOT);
  }

  private static String seconds(Duration duration) {
    return Long.toString(duration.toSeconds());
  }
}
