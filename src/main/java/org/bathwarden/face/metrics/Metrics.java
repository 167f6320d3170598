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

  /** The newest state of a tank: estimate, interval, quality of its points. */
  public void tank(TankStatePayload state) {
    Tags tank = Tags.of("tank", state.tank());
    set("bathwarden.concentration.pct", tank, estimate(state, e -> e.concentrationPct()));
    set("bathwarden.concentration.from.pct", tank, estimate(state, e -> e.concentrationFromPct()));
    set("bathwarden.concentration.to.pct", tank, estimate(state, e -> e.concentrationToPct()));
    set("bathwarden.target.pct", tank, state.targetPct());
    set("bathwarden.volume.l", tank, estimate(state, e -> e.volumeL()));
    state
        .points()
        .forEach(
            (name, point) -> {
              Tags tags = tank.and("point", name);
              set("bathwarden.point.quality", tags, grade(point.quality()));
              set("bathwarden.point.value", tags, point.value().orElse(Double.NaN));
            });
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
    registry.counter("bathwarden.doses", tags).increment();
    registry.counter("bathwarden.dosed.l", tags).increment(litres > 0 ? litres : 0);
  }

  /** How many alarms of a priority call for attention at a tank now. */
  public void alarms(String tank, String priority, int annunciated) {
    set("bathwarden.alarms", Tags.of("tank", tank, "priority", priority), annunciated);
  }

  /** An alarm called for attention. */
  public void alarmActivated(String tank, String priority) {
    registry
        .counter("bathwarden.alarm.activations", Tags.of("tank", tank, "priority", priority))
        .increment();
  }

  /** A figure that is asked for at each scrape, such as the depth of the outbox. */
  public void watch(String name, String description, Supplier<Number> source) {
    Gauge.builder("bathwarden." + name, source)
        .description(description)
        .strongReference(true)
        .register(registry);
  }

  private void set(String name, Tags tags, double value) {
    figures.computeIfAbsent(name + tags, key -> registered(name, tags)).value = value;
  }

  private Figure registered(String name, Tags tags) {
    Figure figure = new Figure();
    Gauge.builder(name, figure, f -> f.value).tags(tags).strongReference(true).register(registry);
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
