package org.bathwarden.simulator.plc;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.bathwarden.simulator.plc.StepTable.Pair;
import org.bathwarden.simulator.plc.StepTable.Step;

/** Makes sequences of steps by a seed, in the words of plc-steps.csv. */
final class RandomSteps {

  private static final int STEPS = 40;
  private static final String[] FLOWS = {"auto", "auto", "0", "1", "2", "3", "5", "24", "60"};
  private static final String[] VOLUMES = {"4", "20", "100", "300", "300", "2000", "2001", "0"};
  private static final String[] TIMES = {"1", "3", "60", "60", "60", "600", "601", "0"};
  private static final String[] LEVELS = {"300", "300", "399.5", "400", "NaN", "0", "-3.25"};

  private final Random random;
  private final List<Step> steps = new ArrayList<>();
  private long number = 1;
  private long epoch = 17;

  private RandomSteps(long seed) {
    random = new Random(seed);
  }

  static List<Step> of(long seed) {
    RandomSteps made = new RandomSteps(seed);
    made.start();
    while (made.steps.size() < STEPS) {
      made.step();
    }
    return made.steps;
  }

  private void start() {
    List<Pair> settings = new ArrayList<>();
    settings.add(pair("config.shared", any("0", "1")));
    settings.add(pair("config.c_ml_per_pulse", any("1", "1", "40", "100")));
    settings.add(pair("config.c_daily_ml", any("10000", "500")));
    settings.add(pair("config.metered", any("1", "1", "1", "0")));
    if (random.nextInt(4) == 0) {
      number = 4_294_900_000L;
      settings.add(pair("force.order_taken", Long.toString(number)));
      settings.add(pair("force.order_final", Long.toString(number)));
      settings.add(pair("force.concentrate_total_ml", "4294967290"));
      settings.add(pair("force.water_total_ml", "4294967290"));
      settings.add(pair("force.loads_total", "4294967294"));
    }
    add(2, settings);
    add(1, List.of(pair("ready", "17"), pair("t2.ready", "17")));
    add(random.nextInt(15), List.of());
  }

  private void step() {
    List<Pair> inputs = new ArrayList<>();
    String tank = random.nextInt(3) == 0 ? "t2." : "";
    int things = 1 + random.nextInt(2);
    for (int i = 0; i < things; i++) {
      thing(tank, inputs);
    }
    // A button needs a scan in which it is up.
    add(Math.max(2, scans()), inputs);
  }

  private int scans() {
    return switch (random.nextInt(10)) {
      case 0, 1, 2, 3 -> 2;
      case 4, 5, 6 -> 3 + random.nextInt(10);
      case 7, 8 -> 15 + random.nextInt(40);
      default -> 60 + random.nextInt(180);
    };
  }

  private void thing(String tank, List<Pair> inputs) {
    switch (random.nextInt(24)) {
      case 0, 1, 2, 3, 4 -> order(tank, inputs);
      case 5 -> inputs.add(pair(tank + "abandon_to", any(Long.toString(number), near(number))));
      case 6 -> holder(tank, inputs);
      case 7 -> inputs.add(pair(tank + "beat", any("on", "on", "off")));
      case 8 -> inputs.add(pair(tank + "heartbeat_epoch", near(epoch)));
      case 9, 10 -> permits(tank, inputs);
      case 11 -> inputs.add(pair(tank + "level_l", any(LEVELS)));
      case 12 -> inputs.add(pair(tank + any("ph", "temperature_c"), number()));
      case 13 -> inputs.add(pair(tank + "conductivity_ms_cm", number()));
      case 14 -> inputs.add(pair(tank + "sensor_faults", Integer.toString(random.nextInt(16))));
      case 15, 16 -> inputs.add(pair(tank + any("flow_c", "flow_w"), any(FLOWS)));
      case 17 ->
          inputs.add(
              pair(tank + any("feedback_c", "feedback_w"), any("auto", "auto", "on", "off")));
      case 18 -> inputs.add(pair(tank + "panel", any("0", "0", "1", "2")));
      case 19 -> inputs.add(pair(tank + "loads", any("1", "2")));
      case 20 -> inputs.add(pair(tank + "fault_reset", "1"));
      default -> rare(tank, inputs);
    }
  }

  private void rare(String tank, List<Pair> inputs) {
    switch (random.nextInt(8)) {
      case 0 -> add(1 + random.nextInt(20), List.of(pair("restart", "1"), pair("beat", "on")));
      case 1 -> add(3, List.of(pair("memory_lost", "1")));
      case 2 -> inputs.add(pair(tank + "key_local", any("0", "1")));
      case 3 -> {
        inputs.add(pair(tank + "key_local", "1"));
        inputs.add(pair(tank + "panel_reset", "1"));
      }
      case 4 -> inputs.add(pair(tank + "unseen_c", any("7", "500")));
      default -> well(tank);
    }
  }

  /** Everything good again, so that orders have a chance. */
  private void well(String tank) {
    List<Pair> good = new ArrayList<>();
    good.add(pair(tank + "permits", any("255", "511")));
    good.add(pair(tank + "sensor_faults", "0"));
    good.add(pair(tank + "level_l", "300"));
    good.add(pair(tank + "key_local", "0"));
    good.add(pair(tank + "panel", "0"));
    good.add(pair(tank + "flow_c", "auto"));
    good.add(pair(tank + "flow_w", "auto"));
    good.add(pair(tank + "feedback_c", "auto"));
    good.add(pair(tank + "feedback_w", "auto"));
    add(25, good);
    epoch += 16;
    int scans = random.nextInt(4) == 0 ? 1 : 12;
    add(
        scans,
        List.of(pair(tank + "fault_reset", "1"), pair(tank + "ready", Long.toString(epoch))));
    number += 1 + random.nextInt(3);
    String order = number + ":" + any("concentrate", "water") + any(":300:60", ":2000:60");
    add(
        2 + random.nextInt(8),
        List.of(pair(tank + "order", order), pair(tank + "order_commit", Long.toString(number))));
    disturbance(tank);
  }

  /** Something happens to a running order, and time goes by. */
  private void disturbance(String tank) {
    List<Pair> inputs = new ArrayList<>();
    switch (random.nextInt(4)) {
      case 0 -> inputs.add(pair(tank + "beat", "off"));
      case 1 -> {
        inputs.add(pair(tank + "flow_c", any("0", "1", "3")));
        inputs.add(pair(tank + "flow_w", any("0", "1", "25")));
      }
      case 2 -> inputs.add(pair(tank + "abandon_to", Long.toString(number)));
      default -> thing(tank, inputs);
    }
    add(20 + random.nextInt(110), inputs);
  }

  private void order(String tank, List<Pair> inputs) {
    number += random.nextInt(6) == 0 ? random.nextInt(3) - 1 : 1 + random.nextInt(3);
    String named = random.nextInt(12) == 0 ? near(number) : Long.toString(number);
    String kind = any("concentrate", "concentrate", "water", "water", "water", "3", "0");
    inputs.add(pair(tank + "order", named + ":" + kind + ":" + any(VOLUMES) + ":" + any(TIMES)));
    if (random.nextInt(8) == 0) {
      inputs.add(pair(tank + "force.plc_heartbeat", "5"));
      inputs.add(pair(tank + "order_basis", any("65531", "65530", "6", "5")));
    } else if (random.nextInt(8) == 0) {
      String item = any("order_epoch", "order_check", "order_basis", "order_number", "order_kind");
      inputs.add(pair(tank + item, Integer.toString(random.nextInt(20))));
    }
    inputs.add(pair(tank + "order_commit", random.nextInt(15) == 0 ? near(number) : named));
  }

  private void holder(String tank, List<Pair> inputs) {
    epoch += random.nextInt(3);
    String wanted = random.nextInt(4) == 0 ? near(epoch) : Long.toString(epoch);
    inputs.add(pair(tank + "epoch_request", wanted));
    inputs.add(pair(tank + "epoch_confirm", random.nextInt(5) == 0 ? near(epoch) : wanted));
    if (random.nextInt(3) > 0) {
      inputs.add(pair(tank + "heartbeat_epoch", wanted));
      add(1, List.copyOf(inputs));
      inputs.clear();
      order(tank, inputs);
    }
  }

  /** One permit drops for a scan or longer. */
  private void permits(String tank, List<Pair> inputs) {
    int dropped = 255 & ~(1 << random.nextInt(8)) | random.nextInt(2) << 8;
    int scans = 1 + random.nextInt(3);
    add(scans, List.of(pair(tank + "permits", Integer.toString(dropped))));
    inputs.add(pair(tank + "permits", "255"));
  }

  private String near(long value) {
    long[] away = {-1, 0, 1, 2, 999, 1000, 1001, 9_999, 10_000, 10_001, -value};
    long far = value + away[random.nextInt(away.length)];
    return Long.toString(Math.max(0, Math.min(far, 0xFFFF_FFFFL)));
  }

  private String number() {
    return random.nextInt(5) == 0 ? "NaN" : Float.toString((random.nextFloat() - 0.2f) * any10());
  }

  private float any10() {
    return (float) Math.pow(10, random.nextInt(9) - 4);
  }

  private String any(String... choices) {
    return choices[random.nextInt(choices.length)];
  }

  private void add(int scans, List<Pair> inputs) {
    steps.add(new Step(steps.size(), scans, inputs, List.of(), ""));
  }

  private static Pair pair(String key, String value) {
    return new Pair(key, value);
  }
}
