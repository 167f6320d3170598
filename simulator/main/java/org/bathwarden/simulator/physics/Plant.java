package org.bathwarden.simulator.physics;

/**
 * The data sheet of one tank.
 *
 * @param type kind of tank
 * @param endPoint which alkalinity the site titrates
 * @param loads parts through it
 * @param water its make-up water
 * @param charge how it starts
 * @param unknowns how far it may stray
 */
public record Plant(
    TankType type,
    EndPoint endPoint,
    LoadProfile loads,
    MakeUpWater water,
    Charge charge,
    Unknowns unknowns) {}
