package org.bathwarden.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.TimeUnit;
import org.bathwarden.face.ProofsPayload;
import org.bathwarden.tank.Product;

/** One engineer's round through the items of one tank. */
final class ProofRound {

  private static final long DOSE_ENDS_WITHIN_S = 20 * 60;

  private final ConsoleDesk desk;
  private final PrintWriter out;

  ProofRound(ConsoleDesk desk) {
    this.desk = desk;
    this.out = desk.out;
  }

  private ProofsPayload look() throws IOException, InterruptedException {
    return desk.client
        .proofs()
        .flatMap(all -> all.stream().filter(one -> one.tank().equals(desk.tank)).findFirst())
        .orElseThrow(() -> new IOException("the service does not answer any more"));
  }

  private static Optional<ProofsPayload.Item> item(ProofsPayload of, String key) {
    return of.items().stream().filter(one -> one.item().equals(key)).findFirst();
  }

  /** Enters a result; returns whether it was taken. */
  boolean enter(ProofsPayload.Item item, boolean passed, OptionalDouble measured, String note)
      throws IOException, InterruptedException {
    Map<String, Object> entry = new LinkedHashMap<>();
    entry.put("item", item.item());
    entry.put("passed", passed);
    measured.ifPresent(value -> entry.put("measured", value));
    if (!note.isEmpty()) {
      entry.put("note", note);
    }
    return desk.enter(look().at(), "proof_result", entry);
  }

  /** Orders the test dose of an item and waits for its end; returns whether it was good. */
  boolean dose(ProofsPayload.Item item, Product ofWatchdog)
      throws IOException, InterruptedException {
    boolean watchdog = item.item().equals("watchdog");
    Product product =
        item.item().equals("dose-concentrate")
            ? Product.CONCENTRATE
            : watchdog ? ofWatchdog : Product.WATER;
    if (!watchdog && !item.item().startsWith("dose-")) {
      out.println(item.item() + " is not proved by a test dose");
      return false;
    }
    Map<String, Object> entry = Map.of("product", product.word(), "watchdog", watchdog);
    if (!desk.enter(look().at(), "test_dose", entry)) {
      return false;
    }
    String shown = "";
    for (long s = 0; s < DOSE_ENDS_WITHIN_S; s++) {
      ProofsPayload now = look();
      if (now.testDose().isEmpty()) {
        String end = item(now, item.item()).flatMap(ProofsPayload.Item::now).orElse("");
        out.println(end);
        out.flush();
        return end.startsWith("good");
      }
      if (!now.testDose().get().equals(shown)) {
        shown = now.testDose().get();
        out.println(shown);
        out.flush();
      }
      TimeUnit.SECONDS.sleep(1);
    }
    throw new IOException("the test dose has not ended: look at the tank");
  }

  /**
   * Asks for one item after the other until all are done or the person stops.
   *
   * @param only the one item to ask for; empty: every one that does not hold
   */
  int walk(BufferedReader in, Optional<String> only, Product ofWatchdog)
      throws IOException, InterruptedException {
    List<String> keys =
        look().items().stream()
            .filter(one -> only.map(one.item()::equals).orElse(!one.state().equals("proved")))
            .map(ProofsPayload.Item::item)
            .toList();
    for (int i = 0; i < keys.size(); i++) {
      out.printf("%n%d of %d%n", i + 1, keys.size());
      if (!ask(in, keys.get(i), ofWatchdog)) {
        break;
      }
    }
    ProofsPayload end = look();
    out.println();
    list(out, end);
    return end.toProve().isEmpty() ? 0 : 1;
  }

  /** Asks for one item; false if the person stops. */
  private boolean ask(BufferedReader in, String key, Product ofWatchdog)
      throws IOException, InterruptedException {
    while (true) {
      ProofsPayload.Item item =
          item(look(), key).orElseThrow(() -> new IOException("there is no item " + key));
      describe(item);
      boolean byDose = key.equals("watchdog") || key.startsWith("dose-");
      Optional<String> answer =
          desk.ask(
              in,
              "p pass, f fail, "
                  + (byDose ? "d order the test dose, " : "")
                  + "s skip, q quit, Enter look again");
      if (answer.isEmpty() || answer.get().equals("q")) {
        return false;
      }
      switch (answer.get()) {
        case "p" -> {
          if (enter(item, true, measured(in, item), "")) {
            return true;
          }
        }
        case "f" -> {
          String note = desk.ask(in, "what was seen").orElse("");
          if (enter(item, false, OptionalDouble.empty(), note)) {
            return true;
          }
        }
        case "d" -> dose(item, ofWatchdog);
        case "s" -> {
          return true;
        }
        default -> {
          // Looked at again.
        }
      }
    }
  }

  private OptionalDouble measured(BufferedReader in, ProofsPayload.Item item) throws IOException {
    return item.measuredIn().isEmpty()
        ? OptionalDouble.empty()
        : desk.askNumber(in, "what the other instrument showed, " + item.measuredIn().get());
  }

  private void describe(ProofsPayload.Item item) {
    out.printf("%s: %s%s%n", item.item(), item.state(), item.needed() ? "" : " (may be skipped)");
    item.changed().ifPresent(text -> out.println("  changed: " + text));
    out.println("  do:  " + item.toDo());
    out.println("  see: " + item.toSee());
    item.now().ifPresent(text -> out.println("  now: " + text));
  }

  /** The items as a table, and what command mode waits for. */
  static void list(PrintWriter out, ProofsPayload of) {
    out.printf(
        "%s%s, configuration %s%n",
        of.tank(), of.mode().map(mode -> ": mode " + mode).orElse(""), of.fingerprint());
    of.why().ifPresent(why -> out.println("nothing is demanded: " + why));
    for (ProofsPayload.Item item : of.items()) {
      out.printf(
          Locale.ROOT,
          "  %-36s %-8s %-9s %s%n",
          item.item(),
          item.needed() ? "needed" : "",
          item.state(),
          more(item));
    }
    of.testDose().ifPresent(text -> out.println("test dose: " + text));
    out.println(
        of.toProve().isEmpty()
            ? "command mode waits for no proof"
            : "command mode waits for: " + String.join(", ", of.toProve()));
    out.flush();
  }

  private static String more(ProofsPayload.Item item) {
    List<String> more = new ArrayList<>();
    item.provedAt().ifPresent(at -> more.add(at + " " + item.by().orElse("")));
    item.changed().ifPresent(more::add);
    item.note().ifPresent(more::add);
    return String.join("; ", more);
  }

  /** The same as data; what is absent is null. */
  static Map<String, Object> data(ProofsPayload of) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("tank", of.tank());
    data.put("at", of.at().toString());
    data.put("mode", of.mode());
    data.put("fingerprint", of.fingerprint());
    data.put("demanded", of.demanded());
    data.put("why", of.why());
    data.put("to_prove", of.toProve());
    data.put("test_dose", of.testDose());
    data.put("items", of.items().stream().map(ProofRound::data).toList());
    return data;
  }

  private static Map<String, Object> data(ProofsPayload.Item item) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("item", item.item());
    data.put("needed", item.needed());
    data.put("state", item.state());
    data.put("proved_at", item.provedAt().map(Object::toString));
    data.put("by", item.by());
    data.put("evidence", item.evidence());
    data.put("note", item.note());
    data.put("fingerprint", item.fingerprint());
    data.put("until", item.until().map(Object::toString));
    data.put("changed", item.changed());
    data.put("to_do", item.toDo());
    data.put("to_see", item.toSee());
    data.put("measured_in", item.measuredIn());
    data.put("now", item.now());
    return data;
  }
}
