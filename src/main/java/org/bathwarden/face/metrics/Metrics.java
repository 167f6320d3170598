package org.bathwarden.face.metrics;

import io.micrometer.core.instrument.Counter;
import io.micrometer.core.instrument.Gauge;
import io.micrometer.core.instrument.Tags;
import io.micrometer.core.instrument.Timer;
import io.micrometer.core.instrument.binder.jvm.JvmMemoryMetrics;
import io.micrometer.core.instrument.binder.jvm.JvmThreadMetrics;
import io.micrometer.prometheusmetrics.PrometheusConfig;
import io.micrometer.prometheusmetrics.PrometheusMeterRegistry;
import java.time.Duration;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Supplier;
import java.util.function.ToDoubleFunction;
import org.bathwarden.face.TankStatePayload;

/**
 * All metrics of the service. What is not known is NaN. Every gauge holds its source strongly: a
 * gauge whose source was collected would turn NaN unnoticed. Safe for use by many threads; nothing
 * blocks.
 */
public final class Metrics implements AutoCloseable {
  private static final Duration[] SCAN_BUCKETS = {
    Duration.ofMillis(5),
    Duration.ofMillis(20),
    Duration.ofMillis(50),
    Duration.ofMillis(100),
    Duration.ofMillis(250),
    Duration.ofMillis(500),
    Duration.ofSeconds(1),
    Duration.ofSeconds(3)
  };

  private final PrometheusMeterRegistry registry =
      new PrometheusMeterRegistry(PrometheusConfig.DEFAULT);
  private final Map<String, Figure> figures = new ConcurrentHashMap<>();
  private final Timer scans =
      Timer.builder("bathwarden.scan")
          .description("time of one scan")
          .serviceLevelObjectives(SCAN_BUCKETS)
          .register(registry);
  private final Counter overruns =
      Counter.builder("bathwarden.scan.overruns")
          .description("scans that ran over their period")
          .register(registry);

  /** Metrics without any tank yet. */
  public Metrics() {
    new JvmMemoryMetrics().bindTo(registry);
    new JvmThreadMetrics().bindTo(registry);
  }

  /** One scan is done. */
  public void scan(Duration took, boolean overran) {
    scans.record(took);
    if (overran) {
      overruns.increment();
    }
  }

  /** The newest state of a tank: estimate, interval, points, mode, what blocks, the open order. */
  public void tank(TankStatePayload state) {
    Tags tank = Tags.of("tank", state.tank());
    set(
        "bathwarden.concentration.pct",
        "estimated concentration, % by volume; NaN if unknown",
        tank,
        estimate(state, e -> e.concentrationPct()));
    set(
        "bathwarden.concentration.from.pct",
        "lower end of its 95 % interval, %",
        tank,
        estimate(state, e -> e.concentrationFromPct()));
    set(
        "bathwarden.concentration.to.pct",
        "upper end of its 95 % interval, %",
        tank,
        estimate(state, e -> e.concentrationToPct()));
    set("bathwarden.target.pct", "target concentration, %", tank, state.targetPct());
    set(
        "bathwarden.volume.l",
        "estimated volume at bath temperature, L; NaN if unknown",
        tank,
        estimate(state, e -> e.volumeL()));
    set(
        "bathwarden.dosing.left.s",
        "for how long the tank can dose by itself, s; 0 while held, NaN if unknown",
        tank,
        state
            .dosesUntil()
            .map(until -> Math.max(0, Duration.between(state.at(), until).toSeconds()) + 0.0)
            .orElse(Double.NaN));
    set(
        "bathwarden.titration.worth.pct",
        "by how much the next titration is expected to narrow the 95 % interval, %",
        tank,
        state.outlook().map(o -> o.widthPct() - o.widthAfterPct()).orElse(Double.NaN));
    set("bathwarden.mode", "dosing mode: 0 off, 1 propose, 2 command", tank, mode(state.mode()));
    set(
        "bathwarden.line.role",
        "what this controller is to the tank's line: 0 none, 1 standby, 2 deposed, 3 holder",
        tank,
        role(state.line().role()));
    set(
        "bathwarden.line.holder.epoch",
        "epoch that the PLC obeys; its instance is the remainder by 16",
        tank,
        state.line().holderEpoch());
    String blocks = "interlocks that forbid the product now; 0 if it may be dosed";
    set(
        "bathwarden.blocked",
        blocks,
        tank.and("product", "concentrate"),
        state.concentrateBlockedBy().size());
    set("bathwarden.blocked", blocks, tank.and("product", "water"), state.waterBlockedBy().size());
    set(
        "bathwarden.order.open",
        "1 while a dose order is not settled, else 0",
        tank,
        state.order().isPresent() ? 1 : 0);
    state.points().forEach((name, point) -> point(tank.and("point", name), point));
  }

  private void point(Tags tags, TankStatePayload.MeasuredPoint point) {
    set(
        "bathwarden.point.quality",
        "quality of a measured point: 2 good, 1 uncertain, 0 bad",
        tags,
        grade(point.quality()));
    set(
        "bathwarden.point.value",
        "value of a measured point in its unit of the line contract; NaN if it is no number",
        tags,
        point.value().orElse(Double.NaN));
  }

  private static double mode(String mode) {
    return switch (mode) {
      case "command" -> 2;
      case "propose" -> 1;
      default -> 0;
    };
  }

  private static double role(String role) {
    return switch (role) {
      case "holder" -> 3;
      case "deposed" -> 2;
      case "standby" -> 1;
      default -> 0;
    };
  }

  /** Whether any tank of a line could be read in its last round. */
  public void link(String line, boolean up) {
    set(
        "bathwarden.link.up",
        "1 if the line could be read in its last round, else 0",
        Tags.of("line", line),
        up ? 1 : 0);
  }

  private static double estimate(
      TankStatePayload state, ToDoubleFunction<TankStatePayload.Estimate> figure) {
    return state.estimate().map(e -> figure.applyAsDouble(e)).orElse(Double.NaN);
  }

  /** 2 good, 1 uncertain, 0 bad. */
  private static double grade(String quality) {
    return switch (quality) {
      case "good" -> 2;
      case "uncertain" -> 1;
      default -> 0;
    };
  }

  /**
   * An order or a booked addition is final.
   *
   * @param litres what flowed, L; negative or no number counts as nothing
   */
  public void dosed(String tank, String product, double litres) {
    Tags tags = Tags.of("tank", tank, "product", product);
    counter("bathwarden.doses", "orders and booked additions that are final", tags).increment();
    counter("bathwarden.dosed.l", "what they delivered, L", tags)
        .increment(litres > 0 ? litres : 0);
  }

  /**
   * How many alarms of a priority there are at a tank now.
   *
   * @param standing whose condition stands, acknowledged or not
   * @param annunciated that call for attention, also after their return
   */
  public void alarms(String tank, String priority, int standing, int annunciated) {
    Tags tags = Tags.of("tank", tank, "priority", priority);
    set("bathwarden.alarms.standing", "alarms whose condition stands", tags, standing);
    set("bathwarden.alarms", "alarms that call for attention", tags, annunciated);
  }

  /** An alarm called for attention. */
  public void alarmActivated(String tank, String priority) {
    counter(
            "bathwarden.alarm.activations",
            "alarms that were raised",
            Tags.of("tank", tank, "priority", priority))
        .increment();
  }

  private Counter counter(String name, String help, Tags tags) {
    return Counter.builder(name).description(help).tags(tags).register(registry);
  }

  /**
   * A figure that is asked for at each scrape, such as the depth of the outbox; its name without
   * prefix.
   */
  public void watch(String name, String description, Supplier<Number> source) {
    Gauge.builder("bathwarden." + name, source)
        .description(description)
        .strongReference(true)
        .register(registry);
  }

  private void set(String name, String help, Tags tags, double value) {
    figures.computeIfAbsent(name + tags, key -> registered(name, help, tags)).value = value;
  }

  private Figure registered(String name, String help, Tags tags) {
    Figure figure = new Figure();
    Gauge.builder(name, figure, f -> f.value)
        .description(help)
        .tags(tags)
        .strongReference(true)
        .register(registry);
    return figure;
  }

  /** Everything as text in the format of Prometheus. */
  public String scrape() {
    return registry.scrape();
  }

  @Override
  public void close() {
    registry.close();
  }

  private static final class Figure {
    private volatile double value = Double.NaN;
  }
}
