package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.bathwarden.simulator.physics.Truth;

/** One sequence from its start to the verdict. */
final class Run {

  private static final int SECOND_MS = 1000;

  /** From the end of the last strike to the end: all is settled by then. */
  private static final long CALM_MS = 90_000;

  private static final int CONSTANT_PERMITS = 1 << 3 | 1 << 7;

  private final Sequence sequence;
  private final Setting setting;
  private final Consumer<String> teller;
  private final Plant plant;
  private final Troubles troubles;
  private final List<PlcBook> books = new ArrayList<>();
  private final List<Instance> instances = new ArrayList<>();
  private final List<Truth> before = new ArrayList<>();

  private Run(Sequence sequence, Setting setting, Seams seams, Consumer<String> teller) {
    this.sequence = sequence;
    this.setting = setting;
    this.teller = teller;
    this.plant =
        new Plant(
            setting.scenario(sequence.tanks()),
            sequence.seed(),
            setting.plc(sequence.tanks()),
            sequence.constantPermits() ? CONSTANT_PERMITS : 0);
    this.troubles = new Troubles(sequence, plant);
    for (int tank = 0; tank < sequence.tanks(); tank++) {
      books.add(new PlcBook(plant, tank));
      before.add(plant.truth(tank));
    }
    instances.add(instance(Troubles.STRUCK, seams));
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

  private Instance instance(int number, Seams given) {
    return new Instance(
        plant,
        troubles,
        number,
        setting.tanks(sequence, number),
        setting.record("record-" + number + ".db"),
        given,
        teller);
  }

  private Verdict verdict() {
    People people = new People(plant, troubles, instances.get(0));
    for (long ms = SECOND_MS; ms < endMs(); ms += SECOND_MS) {
      plant.runTo(ms);
      if (troubles.on(StrikeKind.SECOND_CONTROLLER) && instances.size() == 1) {
        instances.add(instance(Troubles.STRUCK + 1, Seams.SOUND));
      }
      people.second();
      instances.forEach(Instance::second);
    }
    troubles.struck().forEach(s -> teller.accept(s.toString()));
    books.forEach(book -> book.orders().forEach(order -> teller.accept(order.toString())));
    return new Audit(plant, troubles, books, instances, before).verdict();
  }

  /** A strike that waits for an order may come late; the end waits for it. */
  private long endMs() {
    long last = Sequence.STRIKES_UNTIL_MS;
    for (Troubles.Struck struck : troubles.struck()) {
      last = Math.max(last, struck.untilMs());
    }
    return Math.min(last, 2 * Sequence.STRIKES_UNTIL_MS) + CALM_MS;
  }
}
