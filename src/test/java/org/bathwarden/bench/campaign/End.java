package org.bathwarden.bench.campaign;

import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.bathwarden.bench.campaign.Verdict.Finding;
import org.bathwarden.bench.campaign.Verdict.Wrong;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.OrderBook;
import org.bathwarden.tank.Mode;

/** How a controller ended at one tank: commanding, standing by, or in a safe state with a name. */
record End(Instance instance, int tank, List<Instance> all) {

  /** Its words; adds to {@code found} what is neither. */
  String words(List<Finding> found) {
    if (!instance.up()) {
      found.add(new Finding(Wrong.NOT_SAFE, "controller " + instance.number() + " is not up"));
      return "down";
    }
    DosingState dosing = instance.state(tank).dosing();
    OrderBook book = dosing.book();
    String name = name(dosing, book);
    if (name.isEmpty()) {
      found.add(
          new Finding(
              Wrong.NOT_SAFE,
              String.format(
                  Locale.ROOT,
                  "controller %d, tank %d: mode %s, in command %b, open %s",
                  instance.number(),
                  tank + 1,
                  dosing.mode(),
                  book.inCommand(),
                  book.open())));
      return "nameless";
    }
    return name;
  }

  private String name(DosingState dosing, OrderBook book) {
    if (book.latch().isPresent()) {
      return dosing.mode() == Mode.COMMAND ? "" : lower(book.latch().get());
    }
    if (dosing.mode() == Mode.COMMAND) {
      return book.inCommand() ? "commanding" : anotherHolds() ? "standing by" : "";
    }
    return name(dosing);
  }

  /** The latch, or what tripped; empty if neither. */
  static String name(DosingState dosing) {
    if (dosing.book().latch().isPresent()) {
      return lower(dosing.book().latch().get());
    }
    return dosing.interlocks().causes().entrySet().stream()
        .filter(e -> e.getValue().trippedAt().isPresent())
        .map(e -> e.getKey())
        .sorted()
        .map(Cause::key)
        .collect(Collectors.joining("+"));
  }

  private boolean anotherHolds() {
    return all.stream()
        .filter(other -> other != instance && other.up())
        .anyMatch(other -> other.state(tank).dosing().book().inCommand());
  }

  private static String lower(Enum<?> word) {
    return word.name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }
}
