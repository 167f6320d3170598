package org.bathwarden.architecture;

import static com.tngtech.archunit.base.DescribedPredicate.describe;
import static com.tngtech.archunit.base.DescribedPredicate.not;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.fields;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.lang.ArchRule;
import java.util.Set;
import java.util.function.Predicate;
import org.junit.jupiter.api.Test;

/** The core gives the same output for the same input: it sees nothing but its arguments. */
class PureCoreTest {

  private static final DescribedPredicate<JavaClass> CORE = Rooms.in(Rooms.CORE);

  @Test
  void itKnowsOnlyTheJdkAndItself() {
    DescribedPredicate<JavaClass> known =
        CORE.or(resideInAnyPackage("java..", "org.jspecify.annotations")).or(primitive());
    check(classes().that(CORE).should().onlyDependOnClassesThat(known));
  }

  @Test
  void itReadsNoClock() {
    check(
        noClasses()
            .that(CORE)
            .should()
            .dependOnClassesThat(named("java.time.Clock", "java.time.InstantSource")));
    checkNoAccess("the clock", access -> ownedBy(access, "java.time") && called(access, "now"));
  }

  /** Arrays are copied with it; everything else there is a clock, a stream or the environment. */
  @Test
  void itAsksTheSystemNothing() {
    checkNoAccess(
        "the system",
        access ->
            access.getTargetOwner().isEquivalentTo(System.class) && !called(access, "arraycopy"));
  }

  @Test
  void itDoesNoInputOrOutput() {
    DescribedPredicate<JavaClass> io =
        resideInAnyPackage("java.io..", "java.nio..", "java.net..", "java.sql..", "javax.net..")
            .and(not(resideInAPackage("java.nio.charset")));
    check(noClasses().that(CORE).should().dependOnClassesThat(io));
  }

  @Test
  void itLogsNothing() {
    check(
        noClasses()
            .that(CORE)
            .should()
            .dependOnClassesThat(
                resideInAnyPackage(
                    "org.slf4j..", "java.util.logging..", "java.lang.System$Logger..")));
  }

  @Test
  void itKnowsNoThreads() {
    DescribedPredicate<JavaClass> threads =
        named("java.lang.Thread", "java.lang.ThreadLocal", "java.util.Timer", "java.lang.Runtime")
            .or(
                resideInAPackage("java.util.concurrent..")
                    .and(not(named("java.util.concurrent.TimeUnit"))));
    check(noClasses().that(CORE).should().dependOnClassesThat(threads));
  }

  @Test
  void itLeavesNothingToChance() {
    DescribedPredicate<JavaClass> chance =
        named(
                "java.util.Random",
                "java.util.SplittableRandom",
                "java.security.SecureRandom",
                "java.util.concurrent.ThreadLocalRandom")
            .or(resideInAPackage("java.util.random.."));
    check(noClasses().that(CORE).should().dependOnClassesThat(chance));
    checkNoAccess(
        "chance",
        access ->
            Set.of("random", "randomUUID", "shuffle").contains(access.getTarget().getName())
                && ownedBy(access, "java"));
  }

  @Test
  void itHoldsNoStaticState() {
    check(fields().that().areDeclaredInClassesThat(CORE).and().areStatic().should().beFinal());
  }

  private static void checkNoAccess(String what, Predicate<JavaAccess<?>> bad) {
    check(noClasses().that(CORE).should().accessTargetWhere(describe("is " + what, bad)));
  }

  private static boolean called(JavaAccess<?> access, String name) {
    return access.getTarget().getName().equals(name);
  }

  private static boolean ownedBy(JavaAccess<?> access, String packageOrAbove) {
    return access.getTargetOwner().getPackageName().startsWith(packageOrAbove);
  }

  private static DescribedPredicate<JavaClass> named(String... names) {
    Set<String> all = Set.of(names);
    return describe("are " + all, type -> all.contains(type.getName()));
  }

  private static DescribedPredicate<JavaClass> primitive() {
    return describe("are primitive", type -> type.getBaseComponentType().isPrimitive());
  }

  private static void check(ArchRule rule) {
    rule.check(Rooms.MAIN);
  }
}
