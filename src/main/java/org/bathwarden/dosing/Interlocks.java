package org.bathwarden.dosing;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.dosing.InterlockState.Memory;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/**
 * Evaluates the cause and effect table, before and during a dose alike. Each cause goes through:
 * observed → (on-delay) → active → gone → (off-delay) → at rest; a latched one stays tripped until
 * a person resets it after that.
 */
public final class Interlocks {

  private Interlocks() {}

  /**
   * One evaluation.
   *
   * @param table the table
   * @param before memory from the pass before
   * @param observed causes seen in this pass
   * @param entries of this pass; trip resets, releases and bypasses matter
   * @param starting whether the tank has not settled in yet since the start of the process
   * @param sampledAt when the sample of the last accepted titration was drawn, steady clock
   * @param now this pass
   */
  public static InterlockStep run(
      CauseAndEffect table,
      InterlockState before,
      Set<Cause> observed,
      List<Entry> entries,
      boolean starting,
      Optional<Instant> sampledAt,
      Now now) {
    Map<Cause, Memory> after = new EnumMap<>(Cause.class);
    List<InterlockEvent> events = new ArrayList<>();
    Summary summary = new Summary();
    Map<Cause, InterlockState.Bypass> bypasses =
        Bypasses.step(table, before.bypasses(), entries, now, events);
    for (Row row : table.rows()) {
      Memory memory = before.causes().getOrDefault(row.cause(), InterlockMemory.REST);
      boolean seen = observed.contains(row.cause()) && !bypasses.containsKey(row.cause());
      boolean counted = !(starting && row.cause().slowStart());
      Memory next = InterlockMemory.step(row, memory, seen, counted, now.steady());
      next = InterlockResets.apply(row, next, seen, entries, sampledAt, events);
      report(row, memory, next, events);
      summary.add(row, next);
      if (!InterlockMemory.atRest(next)) {
        after.put(row.cause(), next);
      }
    }
    return new InterlockStep(new InterlockState(after, bypasses), summary.verdict(), events);
  }

  private static void report(Row row, Memory before, Memory after, List<InterlockEvent> events) {
    if (!before.active() && after.active()) {
      event(row, InterlockEvent.Kind.ON, "acts", events);
    }
    if (before.active() && !after.active()) {
      event(row, InterlockEvent.Kind.OFF, "gone", events);
    }
    if (before.trippedAt().isEmpty() && after.trippedAt().isPresent()) {
      event(row, InterlockEvent.Kind.TRIPPED, "latched until a person resets it", events);
    }
    if (!before.escalated() && after.escalated()) {
      event(row, InterlockEvent.Kind.ESCALATED, "repeats or lasts: command mode drops", events);
    }
  }

  private static void event(
      Row row, InterlockEvent.Kind kind, String words, List<InterlockEvent> events) {
    events.add(new InterlockEvent(row.cause(), kind, row.description() + ": " + words));
  }

  /** Gathers the effects of all rows. */
  private static final class Summary {
    private final Map<Product, TreeSet<Cause>> blockedBy = new EnumMap<>(Product.class);
    private final Map<Product, Set<Restriction>> restrictions = new EnumMap<>(Product.class);
    private final Set<Cause> active = EnumSet.noneOf(Cause.class);
    private final Set<Product> awaited = EnumSet.noneOf(Product.class);
    private boolean drops;

    Summary() {
      for (Product product : Product.values()) {
        blockedBy.put(product, new TreeSet<>());
        restrictions.put(product, EnumSet.noneOf(Restriction.class));
      }
    }

    void add(Row row, Memory memory) {
      if (memory.seenSince().isPresent()) {
        Arrays.stream(Product.values()).filter(row::blocks).forEach(awaited::add);
      }
      boolean tripped = memory.trippedAt().isPresent();
      if (!memory.active() && !tripped && !memory.escalated()) {
        return;
      }
      active.add(row.cause());
      drops |= row.dropsMode() || memory.escalated();
      boolean latchedBoth =
          memory.escalated() && row.escalation().flatMap(e -> e.latches()).isPresent();
      for (Product product : Product.values()) {
        Effect effect = row.on(product);
        if (latchedBoth
            || effect instanceof Effect.Latch
            || (effect instanceof Effect.Block && memory.active())) {
          in(blockedBy, product).add(row.cause());
        } else if (effect instanceof Effect.Restrict restrict && (memory.active() || tripped)) {
          in(restrictions, product).add(restrict.to());
        }
      }
    }

    Verdict verdict() {
      Map<Product, Permission> permissions = new EnumMap<>(Product.class);
      for (Product product : Product.values()) {
        permissions.put(product, new Permission(in(blockedBy, product), in(restrictions, product)));
      }
      return new Verdict(permissions, drops, active, awaited);
    }

    private static <T> T in(Map<Product, T> map, Product product) {
      return Objects.requireNonNull(map.get(product));
    }
  }
}
