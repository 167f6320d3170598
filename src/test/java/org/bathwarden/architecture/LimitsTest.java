package org.bathwarden.architecture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaClass;
import java.lang.reflect.Field;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Queue;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.Executor;
import java.util.concurrent.Executors;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** Everything that could grow is named, with its bound, in one file. */
class LimitsTest {

  private static final Path LIMITS = Path.of("deploy", "limits.md");
  private static final Pattern BOUND =
      Pattern.compile("\\| .* \\| (\\d+) \\| .* \\| `([\\w.]+)\\.(\\w+)` \\|");
  private static final Pattern PLACE = Pattern.compile("\\| `([\\w.]+)` \\| .* \\|");

  /** Queues that have no bound unless told, and pools that make threads or queues without end. */
  private static final Set<String> UNBOUNDED =
      Set.of(
          "java.util.concurrent.LinkedBlockingQueue",
          "java.util.concurrent.LinkedBlockingDeque",
          "java.util.concurrent.PriorityBlockingQueue",
          "java.util.concurrent.LinkedTransferQueue",
          "java.util.concurrent.DelayQueue",
          "java.util.concurrent.ScheduledThreadPoolExecutor",
          "java.util.concurrent.ForkJoinPool",
          "java.util.Timer");

  @Test
  void everyBoundInTheFileIsTheProgramsOwn() throws Exception {
    int bounds = 0;
    for (String line : Files.readAllLines(LIMITS)) {
      Matcher bound = BOUND.matcher(line);
      if (bound.matches()) {
        Class<?> owner = Class.forName(Rooms.ROOT + "." + bound.group(2));
        Field field = owner.getDeclaredField(bound.group(3));
        field.setAccessible(true);
        long value = ((Number) field.get(null)).longValue();
        assertEquals(Long.parseLong(bound.group(1)), value, line);
        bounds++;
      }
    }
    assertTrue(bounds >= 18, bounds + " bounds");
  }

  private static Set<String> named(String heading) throws Exception {
    Set<String> named = new TreeSet<>();
    boolean inside = false;
    for (String line : Files.readAllLines(LIMITS)) {
      if (line.startsWith("#")) {
        inside = line.equals("## " + heading);
      }
      Matcher place = PLACE.matcher(line);
      if (inside && place.matches()) {
        named.add(place.group(1));
      }
    }
    return named;
  }

  /** Classes of the controller that make one of {@code made}, by their outermost name. */
  private static Set<String> makers(List<Class<?>> made) {
    Set<String> makers = new TreeSet<>();
    for (JavaClass each : controller()) {
      for (JavaAccess<?> call : each.getConstructorCallsFromSelf()) {
        if (made.stream().anyMatch(type -> call.getTargetOwner().isAssignableTo(type))) {
          makers.add(outer(each));
        }
      }
    }
    return makers;
  }

  private static String outer(JavaClass each) {
    String name = each.getName().substring(Rooms.ROOT.length() + 1);
    return name.contains("$") ? name.substring(0, name.indexOf('$')) : name;
  }

  private static List<JavaClass> controller() {
    List<JavaClass> classes = new ArrayList<>();
    for (JavaClass each : Rooms.MAIN) {
      boolean simulated = each.getPackageName().startsWith(Rooms.ROOT + "." + Rooms.SIMULATOR);
      // Demo and rehearsal run for a while beside a person.
      boolean shown =
          each.getSimpleName().startsWith("Demo") || each.getSimpleName().startsWith("Rehears");
      if (!simulated && !shown) {
        classes.add(each);
      }
    }
    return classes;
  }

  @Test
  void whoMakesAThreadIsNamed() throws Exception {
    Set<String> makers = makers(List.of(Thread.class, Executor.class));
    makers.remove("cli.SimulateCommand");
    assertEquals(named("Threads"), makers);
  }

  @Test
  void whoMakesAQueueIsNamed() throws Exception {
    assertEquals(
        named("Queues and maps that have their bound elsewhere"), makers(List.of(Queue.class)));
  }

  @Test
  void noQueueOrPoolWithoutABoundIsMade() {
    List<String> found = new ArrayList<>();
    for (JavaClass each : controller()) {
      for (JavaAccess<?> access : each.getAccessesFromSelf()) {
        boolean pool = access.getTargetOwner().isEquivalentTo(Executors.class);
        boolean async =
            access.getName().endsWith("Async")
                && access.getTargetOwner().getName().startsWith("java");
        boolean made =
            access.getName().equals("<init>")
                && UNBOUNDED.contains(access.getTargetOwner().getName());
        if (pool || async || made) {
          found.add(access.getDescription());
        }
      }
    }
    assertEquals(List.of(), found);
  }

  /** The rule itself sees something: this very class makes a list. */
  @Test
  void makersAreSeen() {
    assertTrue(makers(List.of(Collection.class)).size() > 20);
  }
}
