package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.bathwarden.simulator.physics.Truth;

/**
 * One sequence from its start to the verdict. Controllers run between two scans of the plant; one
 * that stands still in the middle of a round, or waits for the line, leaves the other going.
 */
final class Run {

  private static final int SECOND_MS = 1000;

  /** A fresh bath takes that long, ms. */
  private static final long BATH_WORK_MS = 600_000;

  /** The second controller's round comes so long after the first one's, ms. */
  private static final long OUT_OF_STEP_MS = 500;

  /** From the end of the last strike to the end: all is settled by then. */
  private static final long CALM_MS = 90_000;

  private static final int CONSTANT_PERMITS = 1 << 3 | 1 << 7;

  private final Sequence sequence;
  private final Setting setting;
  private final Consumer<String> teller;
  private final Plant plant;
  private final List<Troubles> troubles = new ArrayList<>();
  private final List<PlcBook> books = new ArrayList<>();
  private final List<Instance> instances = new ArrayList<>();
  private final List<People> people = new ArrayList<>();
  private final List<Crew> crews = new ArrayList<>();
  private final List<BathLog> baths = new ArrayList<>();
  private final List<Truth> before = new ArrayList<>();

  private Run(Sequence sequence, Setting setting, Seams seams, Consumer<String> teller) {
    this.sequence = sequence;
    this.setting = setting;
    this.teller = teller;
    this.plant =
        new Plant(
            setting.scenario(sequence),
            sequence.seed(),
            setting.plc(sequence.tanks()),
            sequence.constantPermits() ? CONSTANT_PERMITS : 0);
    for (int tank = 0; tank < sequence.tanks(); tank++) {
      books.add(new PlcBook(plant, tank));
      baths.add(new BathLog(plant, tank));
      before.add(plant.truth(tank));
    }
    add(Troubles.STRUCK, seams);
    if (sequence.pair()) {
      add(Troubles.STRUCK + 1, Seams.SOUND);
    }
    plant.afterScan(this::scan);
  }

  /** Runs {@code sequence} against a controller as it is. */
  static Verdict of(Sequence sequence, Setting setting) {
    return of(sequence, setting, Seams.SOUND);
  }

  /** Runs {@code sequence} against a controller that is given {@code seams}. */
  static Verdict of(Sequence sequence, Setting setting, Seams seams) {
    return of(sequence, setting, seams, line -> {});
  }

  /** The same, told event by event. */
  static Verdict of(Sequence sequence, Setting setting, Seams seams, Consumer<String> teller) {
    return new Run(sequence, setting, seams, teller).verdict();
  }

  /** One more controller with what befalls it and the people at it. */
  private void add(int number, Seams given) {
    troubles.add(new Troubles(sequence.at(number), plant, number));
    Troubles own = troubles.get(troubles.size() - 1);
    instances.add(instance(number, own, given));
    people.add(
        new People(
            plant,
            own,
            instances.get(instances.size() - 1),
            work -> crews.add(new Crew(plant, instances, work, sequence.seed()))));
  }

  private Instance instance(int number, Troubles own, Seams given) {
    return new Instance(
        plant,
        own,
        number,
        setting.tanks(sequence, number),
        setting.record("record-" + number + ".db"),
        given,
        teller);
  }

  private void scan(long nowMs) {
    boolean second = nowMs % SECOND_MS == 0;
    if (second) {
      if (troubles.get(0).on(StrikeKind.SECOND_CONTROLLER) && instances.size() == 1) {
        instances.add(instance(Troubles.STRUCK + 1, troubles.get(0), Seams.SOUND));
      }
      people.forEach(People::second);
      crews.forEach(Crew::second);
    }
    for (int i = 0; i < instances.size(); i++) {
      boolean due = i == 0 ? second : nowMs % SECOND_MS == OUT_OF_STEP_MS;
      if (due) {
        instances.get(i).second();
      }
    }
  }

  private Verdict verdict() {
    for (long ms = SECOND_MS; ms < endMs(); ms += SECOND_MS) {
      plant.runTo(ms);
    }
    troubles.forEach(t -> t.struck().forEach(s -> teller.accept(s.toString())));
    books.forEach(book -> book.orders().forEach(order -> teller.accept(order.toString())));
    return new Audit(plant, troubles, books, baths, instances, crews, before).verdict();
  }

  /** A strike that waits for an order may come late; the end waits for it. */
  private long endMs() {
    boolean work = sequence.strikes().stream().anyMatch(s -> s.kind().bathWork());
    long last = work ? BATH_WORK_MS : Sequence.STRIKES_UNTIL_MS;
    for (Troubles each : troubles) {
      for (Troubles.Struck struck : each.struck()) {
        last = Math.max(last, struck.untilMs());
      }
    }
    return Math.min(last, 2 * Sequence.STRIKES_UNTIL_MS + sequence.hoursMs()) + CALM_MS;
  }
}
